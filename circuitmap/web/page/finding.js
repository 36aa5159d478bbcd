// Finding: what to do next, its cautions first, one tap for each outcome; below it the reasons.

import { openPad } from './reading.js'
import { go } from './show.js'
import { button, caution, make, state, taps, texts } from './state.js'
import { add, waiting } from './store.js'
import { askVolts, probePad } from './volts.js'

export const findView = answer => [
  ...(answer.out ? [outBlock(answer.out)] : []),
  ...answer.steps.map(step => stepBlock(step, answer)),
  ...answer.sections.map(its => make('section', {}, its.label ? make('h2', {}, its.label) : '', ...texts(its.lines))),
  make('section', {}, make('h2', {}, 'CARE'), ...answer.cautions.map(caution)) ]

function stepBlock(step, answer) {
  const out = step.out && !waiting().some(one => one.line === step.out)
  const outcomes = step.outcomes.map(one => {
    const words = `${one.words} (${one.chance})`
    if (out) return make('p', {}, words)
    const line = one.lines.at(-1)
    if (line) return button(words, () => add(line, { follows: state.follows[one.key] }))
    if (one.key.endsWith('.found')) return button(words, () => go(state.key, 'Read', 'Found'))
    if (one.place && step.pin) return button(words, () => pinPad(step))
    if (one.place) return button(words, () => openPad(placeFor(one.place, answer), null))
    return make('p', {}, words)
  })
  return make('section', { class: 'step' }, make('h2', {}, `${step.number}  ${step.words}`), step.first ? make('p', {}, step.first) : '', make('p', {}, step.time),
    ...step.cautions.map(words => caution(words)),
    out ? button('It is out now', () => add(step.out), { class: 'main' }) : '', make('div', { class: 'outcomes' }, ...outcomes),
    step.pin ? taps(button('Another value', () => pinPad(step))) : '',
    step.probe ? taps(button('Another value', () => probePad(step.probe.name, step.probe.says, step.cautions)),
      button('What should I read here?', () => askVolts(step.probe.name))) : '',
    step.out ? '' : button("Can't tell", () => add(`remark can't tell: ${step.words}`)))
}
const pinPad = ({ pin, words, cautions }) => openPad({ name: pin, short: pin, feeds: words, care: cautions, line: value => `volts ${pin} ${value}` }, null, 'volts')
const placeFor = (name, answer) => answer.boxes.flatMap(box => box.fuses).find(fuse => fuse.name === name) ||
  { name, short: name, feeds: '', total: answer.totals.length === 1 && answer.totals[0].name === name }
function outBlock(out) {
  return make('section', { class: 'step' }, make('h2', {}, out.words), out.hands_off ? caution(out.hands_off) : '',
    make('div', { class: 'outcomes' }, ...out.outcomes.map(one => button(one.words, () => add(one.line, { follows: state.follows[`out.${one.line}`] })))),
    out.back ? button('All is in again', () => add(out.back)) : '')
}
