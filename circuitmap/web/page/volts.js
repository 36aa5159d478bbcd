// What to read at a point, and along its way to ground, with the state that it holds for; a reading goes onto the card.

import { over } from './part.js'
import { openPad } from './reading.js'
import { go } from './show.js'
import { button, cautions, make, pressed, state, taps } from './state.js'

export const askVolts = (point, key = '') => over(`/jobs/${state.key}/volts`, { point, key })
export const probePad = (name, says, care) => openPad({ name, short: name, feeds: says, care, line: value => `probe ${name} ${value}` }, null, 'probe')

export const voltsTold = its => [
  make('p', {}, `${its.title}.`),
  its.keys.length ? taps(...its.keys.map(key => pressed(`key ${key}`, key === its.key, () => askVolts(its.name, key)))) : '',
  ...cautions(its.cautions),
  ...its.sections.slice(0, 1).flatMap(section),
  its.way.length ? taps(button('On the drawing', () => { state.drawing = { point: its.name, key: its.key }; go(state.key, 'Picture') })) : '',
  its.way.length ? make('h3', {}, 'From the battery to ground: nine in ten (at most)') : '',
  ...its.way.map(one => make('div', { class: one.asked ? 'way here' : 'way' },
    make('p', {}, make('b', {}, one.name), one.untouched ? ` ✕ ${one.untouched}` : ''),
    make('div', { class: 'net' }, make('span', {}, one.expected, one.read ? make('b', {}, ` ● ${one.read}`) : ''),
      one.line ? button('Read', () => probePad(one.point, one.expected, its.cautions), { 'aria-label': `Reading at ${one.name}` }) : ''),
    one.onward ? make('p', { class: 'asleep' }, `↓ ${one.onward}`) : '')),
  ...its.sections.slice(1).flatMap(section)]
const section = its => [its.label ? make('h3', {}, its.label) : '', ...its.lines.map(line => make('p', {}, line))]
