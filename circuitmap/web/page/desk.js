// What is asked of the desk, and what it tells by itself.

import { show } from './show.js'
import { state } from './state.js'
import { flush, keep, kept } from './store.js'

export async function ask(path, body) {
  try {
    const how = body ? { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) } : {}
    const answer = await fetch(path, { ...how, cache: 'no-store', signal: AbortSignal.timeout(20000) })
    state.line = true
    const said = await answer.json()
    if (answer.ok) return said
    if (answer.status === 401) state.unpaired = true
    state.notices.push(said.why)
  } catch { state.line = false }
  show()
  return null
}
// Null without a line; with `why` where the photo is refused for good.
export async function sendPhoto(entry) {
  try {
    const how = { method: 'POST', headers: { 'Content-Type': 'image/jpeg' }, body: entry.photo }
    const answer = await fetch(`/jobs/${entry.key}/photos/${entry.id}`, { ...how, signal: AbortSignal.timeout(90000) })
    state.line = true
    if (answer.ok) return {}
    if (answer.status === 401) { state.unpaired = true; return null }
    const words = await answer.text()
    try { return { why: JSON.parse(words).why } } catch { return { why: words || 'The photo was not taken.' } }
  } catch { state.line = false }
  return null
}
export async function loadShelf() {
  const said = await ask('/jobs')
  if (said) {
    state.jobs = said.jobs
    if (said.left_out) state.notices.push(`${said.left_out} more cards are below this folder: open a smaller one.`)
    state.unpaired = false
    state.shift = said.now_ms - Date.now()
    await keep('jobs', said.jobs)
    const mine = new URL(import.meta.url).pathname.split('/')[2]
    if (said.version && mine !== said.version) {
      await fetch('/', { cache: 'reload' })
      if (!location.search.includes(said.version)) location.href = `/?${said.version}${location.hash}`
    }
  } else state.jobs = (await kept('jobs')) || []
  if (!state.unpaired) loadPlatforms()
}
async function loadPlatforms() {
  const said = state.line ? await ask('/platforms') : null
  state.platforms = said ? said.platforms : (await kept('platforms')) || []
  if (said) keep('platforms', said.platforms)
  if (said && said.left_out) state.notices.push(`${said.left_out} more platforms are below this folder.`)
  show()
}
export async function loadPlaces() {
  const key = state.key
  const before = await kept(`places ${key}`)
  if (key === state.key && before && !state.places) { state.places = before; show() }
  const said = await ask(`/jobs/${key}/places`)
  if (said && key === state.key) { state.places = said; keep(`places ${key}`, said); show() }
}
export function listen() {
  if (state.stream) state.stream.close()
  state.stream = null
  if (!state.key || document.hidden) return
  const stream = state.stream = new EventSource(`/jobs/${state.key}/stream`)
  const key = state.key
  state.heard = Date.now()
  const on = (name, what) => stream.addEventListener(name, event => {
    if (stream !== state.stream) return
    state.heard = Date.now()
    state.line = true
    what(JSON.parse(event.data))
    flush()
  })
  on('answer', answer => { state.answer = answer; state.ahead = null; state.follows = {}; keep(`answer ${key}`, answer); show() })
  on('ahead', ahead => { if (state.answer && ahead.revision === state.answer.revision) {
    state.follows = ahead.follows
    keep(`ahead ${key}`, ahead)
    document.body.dataset.ahead = ahead.revision
  } })
  on('moved', moved => {
    for (const its of moved) state.notices.push(`${its.by || 'An entry'}: "${its.says}" was read ${its.was}; since a late entry it counts as ${its.now}.`)
    show()
  })
  on('trouble', trouble => { state.notices.push(trouble.why); show() })
  on('beat', () => {})
  stream.onerror = () => { state.line = false; if (stream.readyState === 2) state.heard = 0; show() }
}
