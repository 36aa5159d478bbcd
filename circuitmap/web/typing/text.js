// The text of a sheet: looked through and drawn as it is typed, written down when somebody says so, never over another's.

import { drawAnew } from './beside.js'
import { here, isOpen, its, sent, told } from './sent.js'
import { button, make } from './state.js'

const PAUSE = 120, LONGEST_PAUSE = 400
const SIGNS = { error: '!', warning: '?', note: '·' }, RANK = { error: 2, warning: 1, note: 0 }
export const area = make('textarea', { id: 'text', spellcheck: 'false', wrap: 'off', autocapitalize: 'off', 'aria-label': 'The text of this sheet' })
const margin = make('div', { class: 'margin', 'aria-hidden': 'true' })
const atCaret = make('p', { id: 'at-caret', role: 'status', class: 'more' })
const lists = make('div', { id: 'lists' }), warning = make('div', { id: 'warning' })
let tried = null, lookedAt = null, timer = 0, waits = 0, busy = false, again = false, marked = ''

export const written = () => area.value === its.base
const draftName = () => `typed ${its.key} ${its.piece.key}`
function keepDraft() {
  try {
    if (written()) localStorage.removeItem(draftName())
    else localStorage.setItem(draftName(), JSON.stringify({ base: its.base, text: area.value }))
  } catch { told('This browser cannot keep what is not saved: do not close the page before.') }
}
function draft() {
  try { return JSON.parse(localStorage.getItem(draftName())) } catch { return null }
}

export function textView() {
  return [warning, make('div', { class: 'sheet-text' }, margin, area), atCaret]
}
export const listsView = () => [lists]

export function openText(text) {
  const kept = draft()
  its.base = kept ? kept.base : text
  its.changed = its.base !== text
  area.value = kept ? kept.text : text
  tried = null
  lists.replaceChildren()
  area.setSelectionRange(area.value.length, area.value.length)
  area.scrollTop = area.scrollHeight
  showWarning()
  look()
}
export function putText(text) { area.value = text; textChanged() }
// Below what stands there; the page shows where it went.
export function addLines(lines) {
  const before = area.value
  putText(`${before}${before && !before.endsWith('\n') ? '\n' : ''}${lines.join('\n')}\n`)
  area.scrollTop = area.scrollHeight
}
// Below the heading of the sheet, marked so that typing goes on in it.
function addDeclaration(line) {
  const heading = area.value.startsWith('sheet ') ? area.value.indexOf('\n') + 1 || area.value.length : 0
  const apart = heading && !area.value.slice(0, heading).endsWith('\n') ? '\n' : ''
  putText(`${area.value.slice(0, heading)}${apart}${line}\n${area.value.slice(heading)}`)
  area.focus()
  area.setSelectionRange(heading + apart.length, heading + apart.length + line.length)
}
export function textChanged() {
  keepDraft()
  told('')
  clearTimeout(timer)
  waits = waits || Date.now()
  timer = setTimeout(look, Math.max(0, Math.min(PAUSE, waits + LONGEST_PAUSE - Date.now())))
}
area.addEventListener('input', textChanged)
area.addEventListener('scroll', placeMargin)
document.addEventListener('selectionchange', sayAtCaret)

export async function look() {
  waits = 0
  if (busy) { again = true; return }
  busy = true
  do {
    again = false
    if (!its.piece) break
    const text = area.value, key = its.piece.key
    const said = await sent(here('/try'), { text })
    if (!said || !isOpen(key)) continue
    lookedAt = text
    if (text === area.value) { tried = said; showTried(); document.body.dataset.tried = said.revision }
    await drawAnew(said)
  } while (again)
  busy = false
}

// ---- what is wrong, what is open ----

function showTried() {
  const marks = new Map()
  for (const one of tried.problems) if (!marks.has(one.line) || RANK[marks.get(one.line)] < RANK[one.severity]) marks.set(one.line, one.severity)
  margin.replaceChildren(...[...marks].map(([line, severity]) => {
    const sign = make('b', { class: severity, 'data-line': line }, SIGNS[severity])
    return sign
  }))
  placeMargin()
  sayAtCaret()
  const count = (list, left) => list.length + left
  const open = new Map([...lists.querySelectorAll('details')].map(one => [one.id, one.open]))
  const part = (id, words, rows, more, always) => {
    if (!rows.length && !always) return ''
    const made = make('details', { id }, make('summary', {}, words), make('ul', { class: 'told' }, ...rows), more ? make('p', {}, `${more} more.`) : '')
    made.open = open.has(id) ? open.get(id) : true
    return made
  }
  const go = (line, words = `line ${line}`) => button(words, () => toLine(line), { class: 'go' })
  lists.replaceChildren(
    part('wrong', `${counted(tried.problems) || 'Nothing wrong here'}`, tried.problems.map(one => make('li', {}, go(one.line),
      make('span', {}, `${one.severity}: ${one.says}`, ...one.more.map(words => make('span', { class: 'more' }, words))))), tried.problems_left_out, true),
    part('elsewhere', `New in other places: ${tried.elsewhere.length}`, tried.elsewhere.map(words => make('li', {}, make('span', {}, words))), 0),
    part('open', `Open on this sheet: ${count(tried.open, tried.open_left_out)}`, tried.open.map(one => make('li', {}, go(one.line),
      make('span', {}, one.says))), tried.open_left_out),
    part('undeclared', `Not declared: ${count(tried.undeclared, tried.undeclared_left_out)}`, tried.undeclared.map(one => make('li', {},
      button(one.line, () => addDeclaration(one.line), { 'aria-label': `Put in: ${one.line}` }), make('span', {}, one.about))), tried.undeclared_left_out))
}
function counted(problems) {
  const many = name => problems.filter(one => one.severity === name).length
  return ['error', 'warning', 'note'].map(name => [many(name), name]).filter(([n]) => n).map(([n, name]) => `${n} ${name}${n === 1 ? '' : 's'}`).join(', ')
}
const LINE = 22, ABOVE = 8
function placeMargin() {
  for (const sign of margin.children) sign.style.top = `${ABOVE + (sign.dataset.line - 1) * LINE - area.scrollTop}px`
}
function sayAtCaret() {
  if (document.activeElement !== area) return
  const line = area.value.slice(0, area.selectionStart).split('\n').length
  const found = tried ? tried.problems.filter(one => one.line === line) : []
  const words = found.map(one => [one.says, ...one.more].join(' ')).join(' ')
  if (words !== marked) { marked = words; atCaret.replaceChildren(words) }
}
function toLine(line) {
  const lines = area.value.split('\n'), start = lines.slice(0, line - 1).join('\n').length + (line > 1 ? 1 : 0)
  area.focus()
  area.setSelectionRange(start, start + (lines[line - 1] || '').length)
  area.scrollTop = Math.max(0, (line - 6) * LINE)
}

// ---- writing ----

export async function save() {
  if (!its.piece || written()) return told('Nothing new to save.')
  const text = area.value
  const said = await sent(here('/save'), { base: its.base, text })
  if (!said) return
  if (said.changed) { its.changed = true; return showWarning() }
  localStorage.removeItem(draftName())
  its.changed = false
  its.base = said.text
  if (text === area.value && area.value !== said.text) area.value = said.text
  document.dispatchEvent(new CustomEvent('saved', { detail: said }))
  showWarning()
  const wrong = tried ? counted(tried.problems.filter(one => one.severity !== 'note')) : ''
  told(`Saved to ${said.written}${wrong ? `, with ${wrong} in it` : ''}.`)
}
function showWarning() {
  if (!its.changed) return warning.replaceChildren()
  warning.replaceChildren(make('div', { class: 'changed', role: 'alert' },
    make('p', {}, 'Somebody else changed this sheet. What you typed is not saved, and what they wrote is untouched.'),
    make('div', { class: 'taps' }, button('Put both together', together), button('Take theirs, drop mine', takeTheirs))))
}
async function together() {
  const said = await sent(here('/together'), { base: its.base, text: area.value })
  if (!said) return
  Object.assign(its, { base: said.base, changed: false })
  putText(said.text)
  showWarning()
  told(said.conflicts ? `${said.conflicts} place${said.conflicts === 1 ? ' does' : 's do'} not go together: decide between the marks, then save.` :
    'Both are in the text now. Look at it, then save.')
}
async function takeTheirs() {
  const said = await sent(here())
  if (!said) return
  Object.assign(its, { base: said.text, changed: false })
  putText(said.text)
  showWarning()
}
// Somebody with an editor, or at another desk: what is on the page is theirs at once, unless there is something of our own.
export async function seeOthers() {
  if (!its.piece || document.hidden || busy) return
  const key = its.piece.key, said = await sent(here())
  if (!said || !isOpen(key)) return
  if (area.value !== lookedAt) look()  // there was no line when it was typed
  if (said.text === its.base) return
  if (written()) {
    const [from, top] = [area.selectionStart, area.scrollTop]
    its.base = area.value = said.text
    area.setSelectionRange(from, from)
    area.scrollTop = top
    look()
  } else if (!its.changed) { its.changed = true; showWarning() }
}
