// What is on the screen: the strip that is always in view, and one view below it, or two or three beside each other.

import { alarmBlock, early } from './alarm.js'
import { cardView, reportView } from './card.js'
import { listen, loadPlaces, loadShelf } from './desk.js'
import { findView } from './finding.js'
import { showPart } from './part.js'
import { pictureView } from './picture.js'
import { readView, showPad } from './reading.js'
import { pairView, platformView, shelfView } from './shelf.js'
import { button, later, make, node, nothingBegun, put, state, wide, widest } from './state.js'
import { kept, typedName, waiting } from './store.js'
import { noteView } from './where.js'

const views = { Read: readView, Find: findView, Picture: pictureView, Card: cardView, Report: reportView }
export const VIEWS = Object.keys(views)

// While a finger is down nothing is drawn anew: a button that is replaced between down and up would lose the tap.
const finger = { down: false, drawAfter: false }
function lifted() {
  finger.down = false
  setTimeout(() => { if (finger.drawAfter) show() })
}
addEventListener('pointerdown', () => { finger.down = true }, true)
for (const name of ['click', 'pointercancel', 'contextmenu']) addEventListener(name, lifted, true)
addEventListener('pointerup', () => setTimeout(lifted, 400), true)  // no click follows where the finger moved away

export function show() {
  finger.drawAfter = finger.down
  if (finger.down) return
  noteView()
  const answer = later()
  put('stands', state.key ? (answer ? answer.stands : 'Nothing is known of this job on this phone yet.') :
    state.pairing ? 'Pair this phone' : state.platform ? state.platform.title : 'Jobs')
  put('todo', state.key && answer ? early(answer) || answer.do : '')
  const wait = waiting().filter(one => !one.why).length, refused = waiting().filter(one => one.why).length
  put('line', [
    state.line ? '' : 'No line to the desk: this is the last answer.', state.unpaired ? 'This phone is not paired.' : '',
    wait ? `${wait} wait${wait === 1 ? 's' : ''} on this phone.` : '', refused ? `${refused} not taken: see Card.` : '',
    state.ahead ? 'Worked out ahead.' : '', ...state.notices.slice(-2) ].filter(Boolean).join(' '))
  alarmBlock()
  node('tabs').hidden = !state.key
  const there = state.key ? onScreen() : []
  node('tabs').replaceChildren(button('Jobs', () => go('')), ...VIEWS.map(name =>
    button(name, () => go(state.key, name), { 'aria-current': there.includes(name) && 'page' })))
  const view = node('view'), typing = document.activeElement
  if (typing && view.contains(typing) && typing.matches('input:not([type=file])')) return
  const beside = there.length > 1 && answer, moved = new Map([...view.querySelectorAll('.frame')].map(frame =>
    [frame.getAttribute('aria-label'), [frame.scrollLeft, frame.scrollTop]]))
  view.classList.toggle('panes', Boolean(beside))
  if (beside) view.replaceChildren(...there.map(name => make('section', { class: 'pane', 'aria-label': name }, ...views[name](answer))))
  else view.replaceChildren(...(state.pairing ? pairView() : !state.key ? (state.platform ? platformView() : shelfView()) :
    !answer ? [] : views[state.view](answer)))
  for (const frame of view.querySelectorAll('.frame')) {  // what is taken out and put in again forgets where it was moved to
    const [left, top] = moved.get(frame.getAttribute('aria-label')) || [0, 0]
    Object.assign(frame, { scrollLeft: left, scrollTop: top })
  }
  showPad()
  showPart()
}
// On a desk the steps stand beside what is read, and where there is room the card, too.
function onScreen() {
  if (!wide.matches) return [state.view]
  const beside = widest.matches ? ['Find', 'Card'] : ['Find']
  const chosen = beside.includes(state.view) ? 'Read' : state.view
  return widest.matches ? ['Find', chosen, 'Card'] : ['Find', chosen]
}
for (const width of [wide, widest]) width.addEventListener('change', () => show())

export function go(key, name = 'Read', sub = 'Fuses') {
  const other = key !== state.key
  if (document.activeElement) document.activeElement.blur()
  Object.assign(state, { view: name, sub, pad: null, part: null, sure: '', opened: '', filter: '', notices: [], platform: null, draft: null, ago: 0 })
  if (other) open(key)
  else show()
  noteView()
  scrollTo(0, 0)
}
export async function open(key) {
  if (state.key) state.begun[state.key] = Object.fromEntries(Object.keys(nothingBegun()).map(name => [name, state[name]]))
  Object.assign(state, { key, answer: null, follows: {}, ahead: null, places: null, alarm: 0, rung: '', ago: 0, ...nothingBegun(), ...state.begun[key] })
  if (key) {
    state.typed = (await kept(typedName(key))) || ''
    state.answer = (await kept(`answer ${key}`)) || null
    state.alarm = (await kept(`alarm ${key}`)) || 0
    const ahead = await kept(`ahead ${key}`)
    if (ahead && state.answer && ahead.revision === state.answer.revision) state.follows = ahead.follows
  } else await loadShelf()
  listen()
  show()
  if (key) loadPlaces()
}
