// The drawing of this case; a tap asks for a part.

import { drawn, nearest } from './drawn.js'
import { askPart } from './part.js'
import { show } from './show.js'
import { button, make, state, taps } from './state.js'

// A drawing is larger than its frame, and often empty in its middle: it begins where a part is.
function showFirst(frame, svg) {
  const first = svg.querySelector('[data-part]')
  if (!first) return
  const box = first.getBoundingClientRect(), around = frame.getBoundingClientRect()
  frame.scrollLeft += (box.left + box.right - around.left - around.right) / 2
  frame.scrollTop += Math.max(0, box.bottom - around.bottom + 40)
}
export function pictureView(answer) {
  const of = answer.revision + JSON.stringify(state.drawing)
  if (!state.picture || state.picture.of !== of) state.picture = { of, nodes: pictureOf(state.drawing) }
  return state.picture.nodes
}
function pictureOf(volts) {
  const said = make('p', { role: 'status' }, 'It is being drawn.')
  const frame = make('div', { class: 'frame', tabindex: 0, role: 'region', 'aria-label': 'The drawing, to be moved' })
  const names = make('div', { class: 'taps' })
  const where = `/jobs/${state.key}`
  let svg = null, natural = 360
  const size = by => {
    state.zoom = Math.min(6, Math.max(0.3, state.zoom * by))
    if (svg) { svg.setAttribute('width', natural * state.zoom); svg.removeAttribute('height') }
  }
  const how = volts && { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(volts) }
  fetch(`${where}/${volts ? 'volts/drawn' : 'picture'}`, { cache: 'no-store', ...how }).then(async answer => {
    if (!answer.ok) return said.replaceChildren((await answer.json()).why)
    svg = drawn(await answer.text())
    if (!svg) return said.replaceChildren('The drawing cannot be shown.')
    natural = parseFloat(svg.getAttribute('width')) * 4 / 3  // readable at once: as large as it was drawn, in points
    svg.classList.add('picture')
    svg.setAttribute('data-natural', Math.round(natural))
    svg.addEventListener('click', event => { const part = nearest(svg, event); if (part) askPart(`${where}/parts/${part}`) })
    said.replaceChildren('Tap a part: what it is, where it sits, its feed and ground, and what to read there.')
    frame.replaceChildren(svg)
    size(1)
    showFirst(frame, svg)
    const seen = new Map([...svg.querySelectorAll('g[data-part]')].map(one => [one.dataset.part, one.querySelector('text')]))
    for (const [part, text] of seen) if (text) names.append(button(text.textContent, () => askPart(`${where}/parts/${part}`)))
  }).catch(() => { state.picture = null; said.replaceChildren('No line to the desk.') })
  return [taps(button('Larger', () => size(1.5)), button('Smaller', () => size(1 / 1.5)),
    volts ? button('The whole case', () => { state.drawing = null; show() }) : ''), said, frame, names]
}
