// A recorder's file from this phone: sent beside the card, then written down as one line that names it. It needs a line.

import { show } from './show.js'
import { make, state } from './state.js'
import { add } from './store.js'

const LARGEST = 20000000
const anyId = () => Array.from(crypto.getRandomValues(new Uint8Array(18)), byte => (byte % 36).toString(36)).join('')

export function logButton() {
  const input = make('input', { type: 'file', accept: '.csv,.txt,.tsv,.log,text/csv,text/plain', 'aria-label': "A night's log" })
  input.addEventListener('change', async () => {
    const [file] = input.files
    input.blur()
    if (file) await sendLog(file)
    show()
  })
  return make('label', { class: 'button photo-button' }, "Night's log", input)
}
async function sendLog(file) {
  if (file.size > LARGEST) { state.notices.push('This file is too large to send: copy it into the folder of the job.'); return }
  try {
    const how = { method: 'POST', headers: { 'Content-Type': 'text/csv' }, body: file }
    const answer = await fetch(`/jobs/${state.key}/logs/${anyId()}`, { ...how, signal: AbortSignal.timeout(180000) })
    state.line = true
    const said = await answer.json()
    if (answer.ok) await add(`logged ${said.name}`)
    else if (answer.status === 401) state.unpaired = true
    else state.notices.push(said.why)
  } catch { state.notices.push("The log was not sent: it needs a line. Choose it again.") }
}
