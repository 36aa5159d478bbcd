// The typing page: which platform, which sheet, and what stands on the screen.

import { drawingView, openPaper, paperView } from './beside.js'
import { copiedView, openCopied } from './copied.js'
import { its, sent, told, whenTold } from './sent.js'
import { shortView, templateView } from './short.js'
import { button, make, node, put } from './state.js'
import { tableView } from './table.js'
import { listsView, openText, save, seeOthers, textView, written } from './text.js'

const view = node('view')

whenTold(() => {
  put('stands', its.title || 'Typing in')
  put('line', [its.unpaired ? '' : its.line ? '' : 'No line to the desk: what is typed is kept in this browser.',
    its.piece && !written() ? 'Not saved yet.' : '', its.notice].filter(Boolean).join(' '))
  if (its.unpaired) view.replaceChildren(make('p', {}, 'This computer is not paired. Open the address with the code that circuitmap bay shows, then come back.'),
    make('a', { class: 'button', href: '/' }, 'The bay page'))
})

async function shelf() {
  Object.assign(its, { key: '', title: '', piece: null })
  const mine = turn += 1, said = await sent('/platforms')
  if (!said || mine !== turn) return
  const name = make('input', { id: 'platform-name', maxlength: 80, autocomplete: 'off' })
  const sister = make('select', { id: 'sister' }, make('option', { value: '' }, 'from nothing'),
    ...said.platforms.filter(one => !one.trouble).map(one => make('option', { value: one.key }, `from ${one.title}, all of it to be checked`)))
  const begin = async () => {
    const begun = await sent('/platforms', { name: name.value, sister: sister.value })
    if (begun) location.hash = begun.key
  }
  view.className = 'shelf'
  node('bar').replaceChildren(make('a', { class: 'button', href: '/' }, 'The bay page'))
  view.replaceChildren(make('h2', {}, 'Which platform?'),
    ...said.platforms.map(one => make('button', { type: 'button', class: 'job', tap: () => { if (!one.trouble) location.hash = one.key } },
      make('b', {}, one.title), make('span', {}, one.trouble || one.says))),
    make('h2', {}, 'Begin a platform'), make('label', { for: 'platform-name' }, 'What is it called?'), name,
    make('label', { for: 'sister' }, 'Begin'), sister, button('Begin', begin, { class: 'main' }))
  told('')
}
let turn = 0  // somebody may go elsewhere while a platform is being opened
async function platform(key, wanted) {
  const mine = turn += 1, said = await sent(`/platforms/${key}/typing`)
  if (!said || mine !== turn) return
  Object.assign(its, { key, title: said.title, pieces: said.pieces, papers: said.papers, templates: said.templates })
  const one = its.pieces.find(piece => piece.key === wanted) || its.pieces.findLast(piece => piece.sheet) || its.pieces[0]
  view.className = 'work'
  view.replaceChildren(
    make('section', { class: 'typed', 'aria-label': 'Text' }, ...textView(), ...shortView(), ...copiedView(), ...listsView(), ...tableView(), ...templateView(), ...newSheet()),
    make('div', { class: 'beside' }, make('section', { 'aria-label': 'Drawing' }, ...drawingView()), make('section', { 'aria-label': 'Paper' }, ...paperView())))
  if (said.papers_left_out) told(`${said.papers_left_out} more papers are in the folder.`)
  await piece(one)
}
async function piece(one) {
  its.piece = one
  history.replaceState(null, '', `#${its.key}/${one.key}`)
  bar()
  const said = await sent(`/platforms/${its.key}/typing/${one.key}`)
  if (!said || its.piece !== one) return
  openText(said.text)
  openPaper()
  openCopied()
  told('')
}
function bar() {
  const option = one => make('option', { value: one.key, selected: one.key === its.piece.key }, `${one.title}  (${one.file})`)
  const group = (label, pieces) => pieces.length ? make('optgroup', { label }, ...pieces.map(option)) : ''
  const select = make('select', { id: 'pieces', 'aria-label': 'Sheet' }, group('Sheets', its.pieces.filter(one => one.sheet)),
    group('On no sheet', its.pieces.filter(one => !one.sheet)))
  select.addEventListener('change', () => piece(its.pieces.find(one => one.key === select.value)))
  node('bar').replaceChildren(select, button('Save', save, { id: 'save', title: 'Ctrl S' }), button('Other platforms', () => { location.hash = '' }))
}
function newSheet() {
  const name = make('input', { id: 'sheet-name', maxlength: 80, autocomplete: 'off' }), title = make('input', { id: 'sheet-title', maxlength: 200, autocomplete: 'off' })
  const begin = async () => {
    const said = await sent(`/platforms/${its.key}/typing`, { sheet: name.value, title: title.value })
    if (said) await platform(its.key, said.key)
  }
  return [make('details', { id: 'new-sheet' }, make('summary', {}, 'A new sheet'), make('label', { for: 'sheet-name' }, 'Its number or name'), name,
    make('label', { for: 'sheet-title' }, 'What it shows'), title, button('Begin this sheet', begin))]
}
document.addEventListener('saved', async event => {
  const said = await sent(`/platforms/${its.key}/typing`)
  if (!said) return
  its.pieces = said.pieces
  const one = its.pieces.find(its => its.key === event.detail.key)
  if (!one) return platform(its.key, '')
  its.piece = one
  history.replaceState(null, '', `#${its.key}/${one.key}`)
  bar()
})
const opened = () => {
  const [key, wanted] = location.hash.slice(1).split('/')
  return /^[0-9a-f]{16}$/.test(key) ? platform(key, wanted) : shelf()
}
addEventListener('hashchange', opened)
addEventListener('beforeunload', event => { if (its.piece && !written()) event.preventDefault() })
setInterval(seeOthers, 2000)
opened()
