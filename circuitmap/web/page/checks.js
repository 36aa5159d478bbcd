// Tests of one part, what the battery itself shows, and what a recorder left on it showed. What to take care of stands
// above the taps that it belongs to.

import { list, none, withPlaces, write } from './lists.js'
import { openPad } from './reading.js'
import { show } from './show.js'
import { button, cautions, make, pressed, state, taps } from './state.js'

export const CHECKS = {
  Tests: withPlaces((answer, { tested }) => {
    const care = answer.care.at['drop-test']
    return [make('p', {}, 'One part, apart from all others. Feed and ground are measured with its load on: without current nothing is lost.'),
      ...cautions(care), ...none(tested),
      ...list('test', tested, {}, ({ name, says }) => [
        ...['inputs', 'outputs'].flatMap(what => ['fine', 'bad'].map(result => button(`${what} ${result}`, () => write(`tested ${name} ${what} ${result}`)))),
        ...['feed', 'ground'].map(what => button(`${what}: volts lost`, () => openPad({ name, short: `${name} ${what}`, feeds: says, care,
          line: value => `tested ${name} ${what} ${value}` }, null, 'lost'))) ])]
  }),
  Battery: withPlaces((answer, { batteries }) => [...none(batteries), ...batteries.flatMap(its => batteryBlock(its, answer))]),
  Log: withPlaces((answer, { batteries }) => [...cautions(answer.care.at['night-log']), ...none(batteries), ...(batteries.length ? logForm(batteries) : [])]),
}

function batteryBlock({ name, says }, answer) {
  const { 'battery-rest': rest, charging } = answer.care.at, seen = answer.seen.batteries[name]
  const volts = (what, care) => () => openPad({ name, short: `${name} ${what}`, feeds: says, care, line: value => `battery ${name} ${what} ${value}` }, null, 'volts')
  return [make('h2', {}, name), make('p', {}, says), seen ? make('p', {}, `● ${seen}`) : '',
    ...cautions(rest), taps(button('volts at rest', volts('rest', rest)),
      button('test passed', () => write(`battery ${name} test fine`)), button('test failed', () => write(`battery ${name} test bad`))),
    ...cautions(charging), taps(button('volts while charging', volts('charging', charging)))]
}

const FIGURES = [['floor', 'Lowest', 'log'], ['peak', 'Highest', 'log'], ['mean', 'Mean', 'log'], ['for', 'How long', 'long'], ['period', 'Comes every', 'every']]
const NEEDED = ['floor', 'peak', 'mean']
function logForm(batteries) {
  const its = state.log
  if (!batteries.some(one => one.name === its.place)) its.place = batteries[0].name
  const figure = ([key, words, kind]) => button(`${words}: ${its[key] || '…'}`, () => openPad({ name: key, short: words, feeds: 'as the recorder shows it',
    care: [], take: value => { its[key] = value; show() } }, null, kind))
  const said = FIGURES.map(([key]) => key).filter(key => its[key])
  return [make('p', {}, 'What the recorder showed while nobody touched the car; how long it ran belongs to it.'),
    batteries.length > 1 ? taps(...batteries.map(one => pressed(one.name, one.name === its.place, () => { its.place = one.name; show() }))) : '',
    make('div', { class: 'figures' }, ...FIGURES.map(figure)),
    NEEDED.some(key => !its[key]) ? make('p', {}, 'Lowest, highest and mean are needed.') : button('Write the log down', () => {
      const line = `log ${its.place} ${said.map(key => `${key} ${its[key]}`).join(' ')}`
      state.log = {}
      write(line)
    }, { class: 'main' })]
}
