// One part, asked for by a tap: what it is, where it sits, its feed and ground, its sheets.

import { ask } from './desk.js'
import { showPad } from './reading.js'
import { noteOver } from './where.js'
import { button, caution, make, node, state, taps } from './state.js'
import { askVolts, voltsTold } from './volts.js'

export const askPart = path => over(path)
// What is asked for by a tap lies over the view until it is closed.
export async function over(path, body) {
  state.pad = null
  const asked = state.part = { name: 'It is being looked up.', sections: [] }
  showPad()
  showPart()
  const said = await ask(path, body)
  if (state.part !== asked) return  // closed meanwhile
  state.part = said
  if (said && body) said.volts = true
  showPart()
}
export function showPart() {
  const its = state.part, sheet = node('part')
  sheet.hidden = !its
  noteOver()
  if (!its) return sheet.replaceChildren()
  if (sheet.shown === its) return
  sheet.shown = its
  sheet.replaceChildren(make('div', { class: 'net' }, make('h2', {}, its.name), button('Close', () => { state.part = null; showPart() })),
    its.hands_off ? caution(`HANDS OFF: ${its.hands_off}`) : '',
    ...(its.volts ? voltsTold(its) : []),
    its.points && its.points.length ? make('h3', {}, 'What should I read here?') : '',
    taps(...(its.points || []).map(one => button(one.words, () => askVolts(one.name)))),
    its.points_left_out ? make('p', {}, `${its.points_left_out} more.`) : '',
    ...(its.volts ? [] : its.sections).flatMap(section => [section.label ? make('h3', {}, section.label) : '', ...section.lines.map(line => {
      const said = make('p', {}, line.says.replaceAll('->', '→'))  // the two signs would be parted at the end of a line
      said.style.paddingLeft = `${Math.min(line.depth, 8) * 14}px`
      return said
    })]))
  sheet.scrollTop = 0
  sheet.querySelector('button').focus()
}
