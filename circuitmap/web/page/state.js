// What the page knows, and how its elements are made. Texts are set as text, never as markup.

// What somebody began to put together at a job and has not written down yet.
export function nothingBegun() {
  return { scan: {}, code: {}, log: {}, shot: null, end: null, drawing: null, dead: { key: '', said: {} } }
}
export const state = { jobs: [], platforms: [], key: '', view: 'Read', sub: 'Fuses', answer: null, follows: {}, ahead: null,
  outbox: [], line: true, shift: 0, notices: [], store: null, stream: null, heard: 0, pad: null, part: null, sure: '',
  unit: {}, meter: '', typed: '', zoom: 1, places: null, opened: '', filter: '', ago: 0, ...nothingBegun(),
  shelf: 'Jobs', platform: null, draft: null, alarm: 0, rung: '', begun: {} }

export const node = id => document.getElementById(id)
export const wide = matchMedia('(min-width: 900px)'), widest = matchMedia('(min-width: 1300px)')

export function make(tag, about = {}, ...inside) {
  const made = document.createElement(tag)
  for (const [name, value] of Object.entries(about)) {
    if (name === 'tap') made.addEventListener('click', value)
    else if (value === true) made.setAttribute(name, '')
    else if (value !== false && value !== undefined) made.setAttribute(name, value)
  }
  made.append(...inside.flat().filter(one => one !== null && one !== undefined && one !== ''))
  return made
}
export const button = (words, tap, about = {}) => make('button', { type: 'button', tap, ...about }, words)
export const pressed = (words, is, tap, about = {}) => button(words, tap, { 'aria-pressed': String(Boolean(is)), ...about })
export const caution = words => make('p', { class: 'care' }, `! ${words}`)  // told by a sign, not by its tint alone
export const cautions = lines => lines.map(caution)
export const texts = lines => lines.map(line => line.startsWith('! ') ? caution(line.slice(2)) : make('p', {}, line))
export const taps = (...inside) => make('div', { class: 'taps' }, ...inside)
export const later = () => state.ahead ? { ...state.answer, ...state.ahead } : state.answer
export const put = (id, words) => { if (node(id).textContent !== words) node(id).textContent = words }
