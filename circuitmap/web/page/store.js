// Everything typed is kept on this phone until the card has it.

import { ask, sendPhoto } from './desk.js'
import { show } from './show.js'
import { state } from './state.js'

export function opened() {
  return new Promise((done, failed) => {
    const asked = indexedDB.open('bay', 1)
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore('outbox', { keyPath: 'id' })
      asked.result.createObjectStore('kept')
    }
    asked.onsuccess = () => done(asked.result)
    asked.onerror = () => failed(asked.error)
  })
}
export function inStore(name, what, more = []) {
  return new Promise((done, failed) => {
    const turn = state.store.transaction([name, ...more], 'readwrite', { durability: 'strict' })
    const asked = what(turn.objectStore(name), ...more.map(one => turn.objectStore(one)))
    turn.oncomplete = () => done(asked && asked.result)
    turn.onerror = turn.onabort = () => failed(turn.error)
  })
}
// A phone that is full or private keeps nothing: the page goes on, and what waits says so.
export const keep = (name, value) => inStore('kept', store => store.put(value, name)).catch(() => {})
export const kept = name => inStore('kept', store => store.get(name)).catch(() => undefined)

const LETTERS = '0123456789abcdefghijklmnopqrstuvwxyz'
const newId = () => [...crypto.getRandomValues(new Uint8Array(20))].map(n => LETTERS[n % 36]).join('')
export const waiting = () => state.outbox.filter(one => one.key === state.key)

export const typedName = key => `typed ${key}`

// `more`: what follows from it as it was worked out ahead; how many minutes ago it was; that it was typed as a line of
// its own, which is kept as begun until the entry itself is, in one turn: a page that goes just then has the one or the
// other; the meter; that the current is steady; a photo.
export async function add(line, { follows, ago = 0, typed = false, ...more } = {}) {
  const entry = { id: newId(), key: state.key, line, at_ms: Date.now() - ago * 60000, why: '', ...more }
  state.outbox.push(entry)  // shown as waiting at once, also while the phone is still writing it down
  state.ahead = follows || null
  show()
  try {
    await inStore('outbox', (outbox, its) => { outbox.put(entry); if (typed) its.delete(typedName(entry.key)) }, ['kept'])
  } catch {
    state.notices.push('This phone cannot keep it: do not close the page before it is on the card.')
  }
  flush()
}
export async function drop(entry) {
  state.outbox = state.outbox.filter(one => one !== entry)
  await inStore('outbox', store => store.delete(entry.id)).catch(() => {})
}
async function refuse(entry, why) {
  entry.why = why
  await inStore('outbox', store => store.put(entry)).catch(() => {})
}
// Photos go before their entries; false where there is no line.
async function photosSent(batch) {
  for (const entry of batch.filter(one => one.photo)) {
    const said = await sendPhoto(entry)
    if (!said) return false
    if (said.why) await refuse(entry, said.why)
  }
  return true
}
let flushing = false
export async function flush() {
  if (flushing) return
  flushing = true
  try {
    for (;;) {
      const first = state.outbox.find(one => !one.why)
      if (!first) break
      const batch = state.outbox.filter(one => one.key === first.key && !one.why).slice(0, 20)
      if (!await photosSent(batch)) break
      const entries = batch.filter(one => !one.why).map(({ id, line, at_ms, meter, steady, photo }) =>
        ({ id, line, at_ms, meter, steady, photo: photo && true }))
      if (!entries.length) continue
      const said = await ask(`/jobs/${first.key}/entries`, { sent_ms: Date.now(), entries })
      if (!said) break
      for (const result of said.taken) {
        const entry = state.outbox.find(one => one.id === result.id)
        if (!entry) continue
        if (result.outcome === 'refused') await refuse(entry, result.why)
        else {
          if (result.understood.length) state.notices.push(result.understood.join(' '))
          await drop(entry)
        }
      }
    }
  } finally {
    flushing = false
    show()
  }
}
