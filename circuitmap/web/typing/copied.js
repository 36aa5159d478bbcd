// What was copied from a sister, checked off against the paper: one key a line, each written at once.

import { here, isOpen, its, sent, told } from './sent.js'
import { button, make, taps } from './state.js'
import { seeOthers, written } from './text.js'

const box = make('div', { id: 'copied' })
let left = [], elsewhere = 0, later = 0, underWay = 0, queue = Promise.resolve(), sisters = []

export async function openCopied() {
  const key = its.piece.key
  left = []
  box.replaceChildren()
  const said = await sent(here('/copied'))
  if (!said || !isOpen(key)) return
  take(said)
  sisters = []
  if (left.length || elsewhere) {
    const told = await sent(`/platforms/${its.key}/typing/sisters`)
    sisters = told ? told.lines : []
  }
  later = 0
  show()
}
function take(said) { left = said.left; elsewhere = said.elsewhere + said.left_out }
function answer(what, typed = '') {
  const one = left[later], about = here('/check'), key = its.piece.key
  if (!one) return
  if (!written()) return told('Save what is typed first: checking off writes to the same sheet.')
  left = left.filter(its => its !== one)
  underWay += 1
  show()
  queue = queue.then(async () => {
    const said = await sent(about, { says: one.says, answer: what, typed })
    underWay -= 1
    if (!isOpen(key)) return
    if (!said) left = [...left.slice(0, later), one, ...left.slice(later)]
    if (!said || !underWay) show()
    if (!underWay) await seeOthers()
  })
}
const NEXT = { s: () => answer('same'), n: () => answer('not there'), l: () => { later = left.length ? (later + 1) % left.length : 0; show() }, d: () => different() }
function different() {
  const input = make('textarea', { rows: 2, 'aria-label': 'What the paper says', spellcheck: 'false' })
  input.value = left[later] ? left[later].says : ''
  input.addEventListener('keydown', event => {
    event.stopPropagation()
    if (event.key === 'Enter') { event.preventDefault(); answer('different', input.value) }
    if (event.key === 'Escape') show()
  })
  box.querySelector('.statement').replaceWith(input)
  input.focus()
}
function show() {
  if (later >= left.length) later = 0
  const one = left[later]
  if (!one && !elsewhere && !underWay && !sisters.length) return box.replaceChildren()
  const had = box.contains(document.activeElement)
  const step = make('div', { tabindex: 0, role: 'group', 'aria-label': 'Check off with s, d, n, l', class: 'step' },
    make('h2', {}, one ? `Copied, to be checked against the paper: ${left.length}` : 'Nothing is left to check on this sheet'),
    ...sisters.map(words => make('p', {}, words)),
    underWay ? make('p', { role: 'status' }, `${underWay} being saved.`) : '',
    elsewhere ? make('p', {}, `${elsewhere} more on other sheets.`) : '',
    one ? make('p', { class: 'more' }, `from ${one.origin}`) : '', one ? make('p', { class: 'statement' }, one.says) : '',
    one ? taps(button('s  the same', NEXT.s), button('d  different', NEXT.d), button('n  not there', NEXT.n), button('l  later', NEXT.l)) : '')
  step.addEventListener('keydown', event => {
    if (event.ctrlKey || event.metaKey || event.altKey || !one || !Object.hasOwn(NEXT, event.key)) return
    event.preventDefault()
    NEXT[event.key]()
  })
  box.replaceChildren(step)
  if (had) step.focus()
}
export const copiedView = () => [box]
