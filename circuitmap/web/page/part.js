// One part, asked for by a tap: what it is, where it sits, its feed and ground, its sheets.

import { ask } from './desk.js'
import { button, caution, make, node, state } from './state.js'

export async function askPart(path) {
  state.pad = null
  state.part = { name: 'It is being looked up.', sections: [] }
  showPart()
  state.part = await ask(path)
  showPart()
}
export function showPart() {
  const its = state.part, sheet = node('part')
  sheet.hidden = !its
  if (!its) return sheet.replaceChildren()
  if (sheet.shown === its) return
  sheet.shown = its
  sheet.replaceChildren(make('div', { class: 'net' }, make('h2', {}, its.name), button('Close', () => { state.part = null; showPart() })),
    its.hands_off ? caution(`HANDS OFF: ${its.hands_off}`) : '',
    ...its.sections.flatMap(section => [section.label ? make('h3', {}, section.label) : '', ...section.lines.map(line => {
      const said = make('p', {}, line.says)
      said.style.paddingLeft = `${Math.min(line.depth, 8) * 14}px`
      return said
    })]))
  sheet.scrollTop = 0
  sheet.querySelector('button').focus()
}
