// The bay page: where it begins, and what it does by itself.

import { alarmBlock, early } from './alarm.js'
import { listen, loadShelf } from './desk.js'
import { follow } from './where.js'
import { later, put, state } from './state.js'
import { flush, inStore, kept, opened } from './store.js'

addEventListener('online', () => { listen(); flush() })
document.addEventListener('visibilitychange', () => { listen(); flush(); alarmBlock() })
setInterval(() => {
  if (!document.hidden && state.key && Date.now() - state.heard > 25000) listen()
  if (state.outbox.some(one => !one.why)) flush()
  const answer = later()
  if (answer && answer.asleep_ms) { put('todo', early(answer) || answer.do); alarmBlock() }
}, 3000)

const hash = location.hash.slice(1)
if (hash.startsWith('pair=')) {
  state.pairing = hash.slice(5)
  history.replaceState(null, '', '/')
}
state.store = await opened().catch(() => null)
state.outbox = await inStore('outbox', store => store.getAll()).catch(() => [])
state.unit = (await kept('unit')) || {}
state.meter = (await kept('meter')) || ''
if (state.pairing) await follow('#')
else {
  await loadShelf()
  await follow(location.hash || '#')
  flush()
}
