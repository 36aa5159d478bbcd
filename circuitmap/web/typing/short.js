// Short lines and templates: what is typed in few keys goes below the text as full notation; what is not clear is asked.

import { here, its, sent, told } from './sent.js'
import { button, make, taps } from './state.js'
import { addLines, area, save } from './text.js'

const box = make('textarea', { id: 'short', class: 'short', rows: 1, spellcheck: 'false', autocapitalize: 'off', 'aria-label': 'Short lines', 'aria-describedby': 'full' })
const full = make('p', { id: 'full', class: 'full', role: 'status' })
const asked = make('div', { id: 'asked' })
let settled = {}, preview = 0, turn = 0

const typed = () => ({ text: area.value, typed: box.value, settled })
box.addEventListener('input', () => {
  settled = {}
  asked.replaceChildren()
  full.replaceChildren()
  clearTimeout(preview)
  preview = setTimeout(showFull, 250)
})
box.addEventListener('keydown', event => {
  if (event.key !== 'Enter' || event.ctrlKey || event.metaKey || event.isComposing) return
  event.preventDefault()
  take()
})
// What the line will be, while it is typed.
async function showFull() {
  if (!box.value.trim()) return
  const mine = turn += 1, said = await sent(here('/lines'), typed())
  if (!said || mine !== turn) return
  full.replaceChildren(said.questions.length ? said.questions[0].says : said.lines.join('\n'))
}
let taking = Promise.resolve()
function take() {
  clearTimeout(preview)
  turn += 1
  taking = taking.then(takeNow)  // one after the other: a line may take something from the one above
  return taking
}
async function takeNow() {
  const line = box.value
  if (!line.trim()) return
  const said = await sent(here('/lines'), typed())
  if (!said) return
  full.replaceChildren('')
  if (said.questions.length) return ask(said.questions[0], answer => { settled = { ...settled, ...answer }; return take() })
  addLines(said.lines)
  box.value = box.value.slice(line.length)
  settled = {}
  asked.replaceChildren()
  box.focus()
}
// A question with its choices: a digit, or a tap. Escape goes back to what was typed.
function ask(question, answered) {
  const shown = question.line, at = shown.indexOf(question.about)
  const choose = number => answered({ [question.start]: question.choices[number] })
  const choices = question.choices.map((choice, number) => button(`${number + 1}  ${choice}`, () => choose(number)))
  const its = make('div', { class: 'asked', role: 'alert' }, make('p', {}, question.says),
    make('p', {}, make('code', {}, shown.slice(0, Math.max(at, 0)), make('mark', {}, question.about), shown.slice(Math.max(at, 0) + question.about.length))),
    taps(...choices), make('p', { class: 'more' }, choices.length ? 'Its number, or Escape to type it anew.' : 'Type it anew.'))
  its.addEventListener('keydown', event => {
    const number = Number(event.key)
    if (number >= 1 && number <= choices.length) { event.preventDefault(); choose(number - 1) }
    if (event.key === 'Escape') { asked.replaceChildren(); box.focus() }
  })
  asked.replaceChildren(its)
  if (choices.length) choices[0].focus()
  else box.focus()
}
export const shortView = () => [make('label', { for: 'short' }, 'Wires in short: f40 x61.1 lift.a1 rdbu 4, then Enter'), box, full, asked]

export function templateView() {
  const select = make('select', { 'aria-label': 'What it is' }, ...its.templates.map(one => make('option', { value: one.word }, `${one.word}: ${one.what}`)))
  const name = make('input', { 'aria-label': 'Its name', placeholder: 'name, such as K12', maxlength: 80, autocomplete: 'off' })
  const put = async () => {
    const said = await sent(here('/template'), { word: select.value, name: name.value })
    if (said) { addLines(said.lines); told('Fill in what is known; what is not stays an open end.') }
  }
  return [make('details', { id: 'template' }, make('summary', {}, 'A part with its wires, to fill in'), select, name, button('Put it below the text', put))]
}
for (const one of [box, area]) one.addEventListener('keydown', event => {
  if ((event.ctrlKey || event.metaKey) && (event.key === 's' || event.key === 'Enter')) { event.preventDefault(); taking.then(save) }
})
