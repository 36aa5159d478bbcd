// What the typing page knows, and how it asks the desk.

export const its = { key: '', title: '', pieces: [], papers: [], templates: [], piece: null, base: '', changed: false,
  line: true, unpaired: false, notice: '', left: 0 }

let tellAll = () => {}
export const whenTold = what => { tellAll = what }
export function told(words) { its.notice = words; tellAll() }

// What the desk says; null without a line, or where it says no, which is then told. `changed` comes back to be dealt with.
export async function sent(path, body) {
  try {
    const how = body ? { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) } : {}
    const answer = await fetch(path, { ...how, cache: 'no-store', signal: AbortSignal.timeout(30000) })
    const words = await answer.text()
    let said = null
    try { said = JSON.parse(words) } catch { said = { why: words } }
    if (!its.line) { its.line = true; told('') }
    if (answer.ok || said.changed) return said
    if (answer.status === 401) its.unpaired = true
    told(said.why || 'The desk did not take it.')
  } catch { its.line = false; told('') }
  return null
}
export const isOpen = key => Boolean(its.piece) && its.piece.key === key  // somebody may have gone on meanwhile
export const here = (what = '') => `/platforms/${its.key}/typing/${its.piece.key}${what}`
