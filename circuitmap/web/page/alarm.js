// The time to sleep is computed from times, never counted: a phone that slept knows it at once when it wakes.

import { go } from './show.js'
import { button, later, make, node, state } from './state.js'
import { keep } from './store.js'

const now = () => Date.now() + state.shift
export const early = answer => answer.asleep_ms && answer.asleep_ms > now() ? answer.early : ''

// Armed while it is too early; rung once, when that is over. An entry that wakes the car arms it anew.
export function ringIfOver() {
  const answer = later()
  if (!state.key || !answer) return
  const before = state.alarm
  if (answer.asleep_ms && answer.asleep_ms > now()) {
    state.alarm = answer.asleep_ms
    state.rung = ''
  } else if (state.alarm && answer.asleep_ms && state.alarm <= now()) {
    state.alarm = 0
    state.rung = 'It should be asleep now: read.'
    if (navigator.vibrate) navigator.vibrate([400, 200, 400, 200, 400])
  } else if (state.alarm && !answer.asleep_ms) state.alarm = 0  // it was opened meanwhile
  if (state.alarm !== before) keep(`alarm ${state.key}`, state.alarm)
}
export function alarmBlock() {
  ringIfOver()
  document.title = state.rung ? '● Read now' : 'Bay'
  const its = node('alarm')
  its.hidden = !state.rung
  if (its.hidden || its.firstChild) return its.hidden ? its.replaceChildren() : undefined
  its.append(make('b', {}, state.rung), button('Read', () => { state.rung = ''; go(state.key, 'Read') }),
    button('Seen', () => { state.rung = ''; alarmBlock() }))
}
