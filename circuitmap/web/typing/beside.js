// What lies beside the text: the drawing of the sheet, and the paper it is typed from.

import { drawn, nearest } from './drawn.js'
import { its, sent } from './sent.js'
import { button, make, taps } from './state.js'

const frame = make('div', { class: 'frame', id: 'drawing', tabindex: 0, role: 'region', 'aria-label': 'The drawing of this sheet' })
const saidOf = make('p', { role: 'status', id: 'drawing-says' })
const partBox = make('div', { id: 'part-there' })
let zoom = 0.8, svg = null, natural = 360

function size(by) {
  zoom = Math.min(6, Math.max(0.2, zoom * by))
  if (svg) { svg.setAttribute('width', natural * zoom); svg.removeAttribute('height') }
}
export async function drawAnew(tried) {
  if (!tried.sheet) { frame.replaceChildren(); svg = null; return saidOf.replaceChildren('What is on no sheet is not drawn.') }
  if (frame.dataset.revision === tried.revision) return
  try {
    const answer = await fetch(`/platforms/${its.key}/typing/drawing/${tried.revision}`, { cache: 'no-store', signal: AbortSignal.timeout(60000) })
    if (!answer.ok) return saidOf.replaceChildren(JSON.parse(await answer.text()).why)
    const made = drawn(await answer.text())
    if (!made) return saidOf.replaceChildren('The drawing cannot be shown.')
    const moved = [frame.scrollLeft, frame.scrollTop]
    svg = made
    natural = parseFloat(svg.getAttribute('width')) * 4 / 3
    svg.classList.add('picture')
    svg.addEventListener('click', event => { const part = nearest(svg, event); if (part) tell(part) })
    frame.replaceChildren(svg)
    size(1)
    Object.assign(frame, { scrollLeft: moved[0], scrollTop: moved[1] })
    frame.dataset.revision = tried.revision
    saidOf.replaceChildren('')
    document.body.dataset.drawn = tried.revision
  } catch { saidOf.replaceChildren('No line to the desk: this is the last drawing.') }
}
async function tell(part) {
  const said = await sent(`/platforms/${its.key}/parts/${part}`)
  if (!said) return
  partBox.replaceChildren(make('h3', {}, said.name), said.hands_off ? make('p', { class: 'care' }, `! HANDS OFF: ${said.hands_off}`) : '',
    ...said.sections.flatMap(one => [one.label ? make('b', {}, one.label) : '', ...one.lines.map(line => make('p', {}, line.says))]),
    button('Close', () => partBox.replaceChildren()))
}
export const drawingView = () => [
  taps(make('b', {}, 'Drawing'), button('Larger', () => size(1.3)), button('Smaller', () => size(1 / 1.3))), saidOf, frame, partBox]

// ---- the paper: what the shop has in the platform's folder `paper`, or a picture that never leaves this browser ----

const PLAIN = '&navpanes=0&view=FitH'  // the page alone, as wide as there is room (PDF open parameters, RFC 8118)
const paperFrame = make('div', { id: 'paper' })
let chosen = '', local = '', paperWide = 100
const remembered = () => `paper ${its.key} ${its.piece ? its.piece.sheet : ''}`

export function openPaper() {
  const sheet = its.piece ? its.piece.sheet : ''
  const kept = localStorage.getItem(remembered()) || ''
  const fitting = its.papers.find(one => one.key === kept) || its.papers.find(one => sheet && one.name.toLowerCase().startsWith(sheet.toLowerCase()))
  chosen = fitting ? fitting.key : ''
  local = ''
  showPaper()
}
function showPaper() {
  const paper = its.papers.find(one => one.key === chosen)
  document.querySelector('main').classList.toggle('with-paper', Boolean(paper || local))
  const options = [make('option', { value: '' }, 'No paper'), ...its.papers.map(one => make('option', { value: one.key, selected: one.key === chosen }, one.name))]
  const select = make('select', { 'aria-label': 'Paper' }, ...options)
  select.addEventListener('change', () => {
    chosen = select.value
    local = ''
    localStorage.setItem(remembered(), chosen)
    showPaper()
  })
  const file = make('input', { type: 'file', accept: 'image/*', 'aria-label': 'A picture from this computer' })
  file.addEventListener('change', () => {
    if (local) URL.revokeObjectURL(local)
    if (file.files[0]) { local = URL.createObjectURL(file.files[0]); chosen = ''; showPaper() }
  })
  const where = `/platforms/${its.key}/paper/${chosen}`
  const page = make('input', { type: 'number', min: 1, max: 999, value: 1, 'aria-label': 'Page' })
  const pdf = paper && paper.is_pdf ? make('iframe', { class: 'paper', src: `${where}#page=1${PLAIN}`, title: paper.name }) : ''
  const image = local || (paper && !paper.is_pdf) ? make('img', { class: 'paper', src: local || where, alt: paper ? paper.name : 'the paper' }) : ''
  const wide = by => { paperWide = Math.min(600, Math.max(50, paperWide * by)); if (image) image.style.width = `${paperWide}%` }
  wide(1)
  page.addEventListener('change', () => {  // a viewer does not heed a new page of the file that it has open
    const before = paperFrame.querySelector('iframe'), after = before.cloneNode()
    after.src = `${where}#page=${page.value}${PLAIN}`
    before.replaceWith(after)
  })
  paperFrame.replaceChildren(
    taps(make('b', {}, 'Paper'), select, image ? button('Larger', () => wide(1.3)) : '', image ? button('Smaller', () => wide(1 / 1.3)) : '',
      pdf ? make('label', { class: 'inline' }, 'Page', page) : '', pdf ? make('a', { class: 'button', href: where, target: '_blank' }, 'In its own window') : '',
      make('label', { class: 'photo-button' }, 'Picture from here', file)),
    image ? make('div', { class: 'frame', tabindex: 0, role: 'region', 'aria-label': 'The paper' }, image) : '', pdf,
    image || pdf ? '' : make('p', { class: 'more' }, 'Scans and PDF files lie in the folder "paper" beside the sheets; nothing that is shared holds them.'))
}
export const paperView = () => [paperFrame]
