// What it was, and what was mended: chosen by taps, or in words of one's own. It ends the search, so each is told apart.

import { list, withPlaces } from './lists.js'
import { show } from './show.js'
import { button, cautions, make, state, taps } from './state.js'
import { add } from './store.js'

const DONE = ['renewed', 'repaired', 'wire mended', 'plug renewed', 'cleaned and dried', 'taken off']
export const ENDS = { cause: 'What it was', mended: 'Mended' }

export const endButtons = () => Object.entries(ENDS).map(([name, words]) => button(words, () => {
  Object.assign(state, { end: { name, part: '', kind: '', words: '' }, opened: '', filter: '' })
  show()
  scrollTo(0, 0)
}))
function close() {
  Object.assign(state, { end: null, opened: '', filter: '' })
  document.activeElement.blur()
}
function words(label) {
  const input = make('input', { id: 'in-words', maxlength: 300, value: state.end.words, autocomplete: 'off' })
  input.addEventListener('input', () => { state.end.words = input.value })
  return [make('label', { for: 'in-words' }, label), input]
}
function done(line) {
  close()
  add(line)
}
const typed = () => state.end.words.trim().replace(/\s+/g, ' ')

export const endView = answer => withPlaces((_, known) => [make('section', { class: 'step' }, make('h2', {}, ENDS[state.end.name]),
  ...(state.end.name === 'cause' ? causeForm(known) : mendedForm(answer, known)), button('Not now', () => { close(); show() }))])(answer)

function causeForm({ places, kinds }) {
  const its = state.end
  if (!its.part) return [make('p', {}, 'Only what was proven: out, the draw gone; in, back again; out, gone again.'),
    ...list('cause', places, {}, ({ name }) => kinds.map(({ kind, words: said }) => button(said, () => { Object.assign(its, { part: name, kind, said }); show() }))),
    ...words('Not among them? In your own words'),
    button('Write it down as the cause', () => { if (typed()) done(`cause ${typed()}`) }, { class: 'main' })]
  return [make('p', {}, `${its.part}: ${its.said}`), ...words('More about it, if you like'),
    button('Write it down as the cause', () => done(`cause ${its.part}${typed() ? `, ${typed()}` : ''}; kind ${its.kind}`), { class: 'main' }),
    button('Another part', () => { Object.assign(its, { part: '', kind: '' }); show() })]
}
function mendedForm(answer, { places }) {
  return [...cautions(answer.care.at.refit),
    ...list('mended', places, {}, ({ name }) => DONE.map(what => button(what, () => done(`mended ${name} ${what}`)))),
    ...words('In your own words'),
    taps(button('This was mended', () => { if (typed()) done(`mended ${typed()}`) }), button('This is still to be mended', () => { if (typed()) done(`to-mend ${typed()}`) }),
      button('Until then it stays so', () => { if (typed()) done(`until-then ${typed()}`) }))]
}
