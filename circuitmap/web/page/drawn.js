// A drawing built anew, element by element, from a list of what may be in it; and the part that a finger meant.

const SVG = 'http://www.w3.org/2000/svg'
const LOOKS = ['fill', 'stroke', 'stroke-width', 'stroke-dasharray', 'stroke-linecap']
const MAY_BE = {
  svg: ['width', 'height', 'viewBox', 'role', 'font-family', 'stroke-linejoin'], title: [], desc: [], g: ['data-part'],
  polyline: ['points', ...LOOKS], polygon: ['points', ...LOOKS], rect: ['x', 'y', 'width', 'height', 'rx', ...LOOKS],
  circle: ['cx', 'cy', 'r', ...LOOKS],
  text: ['x', 'y', 'font-size', 'font-weight', 'textLength', 'lengthAdjust', 'transform', ...LOOKS] }

function built(its) {
  const names = its.namespaceURI === SVG && Object.hasOwn(MAY_BE, its.localName) && MAY_BE[its.localName]
  if (!names) return ''
  const made = document.createElementNS(SVG, its.localName)
  for (const name of names) {
    const value = its.getAttribute(name)
    if (value !== null && !/url|:/i.test(value)) made.setAttribute(name, value)
  }
  for (const one of its.childNodes) made.append(one.nodeType === 3 ? one.data : one.nodeType === 1 ? built(one) : '')
  return made
}
export const drawn = text => built(new DOMParser().parseFromString(text, 'image/svg+xml').documentElement)

// The part that was meant: fingers are broader than symbols, so the nearest within reach counts.
export function nearest(svg, event) {
  const away = box => Math.hypot(Math.max(box.left - event.clientX, 0, event.clientX - box.right),
    Math.max(box.top - event.clientY, 0, event.clientY - box.bottom))
  const found = [...svg.querySelectorAll('[data-part]')].map(one => [away(one.getBoundingClientRect()), one.dataset.part])
  const [best] = found.sort((a, b) => a[0] - b[0])
  return best && best[0] <= 32 ? best[1] : ''
}
