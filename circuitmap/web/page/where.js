// Where somebody is on the page, as its address: the phone's own back button goes from view to view, and closes what lies
// over one. Nothing that was typed depends on it.

import { VIEWS, go, open, show } from './show.js'
import { showPart } from './part.js'
import { SUBS, showPad } from './reading.js'
import { openPlatform, begin } from './shelf.js'
import { state } from './state.js'

history.scrollRestoration = 'manual'
let following = true, leaving = false  // until somebody has come to where the address says

function address() {
  if (state.key) return `#${state.key}/${state.view}${state.sub === 'Fuses' ? '' : `/${encodeURIComponent(state.sub)}`}`
  if (state.platform) return `#platforms/${state.platform.key}${state.draft ? '/begin' : ''}`
  return state.shelf === 'Platforms' ? '#platforms' : '#'
}
// Called whenever something was shown: another view is another step back.
export function noteView() {
  const now = address(), was = location.hash || '#'
  if (following || state.pairing || was === now) return
  if (history.state && history.state.over) return history.replaceState(null, '', now)
  history.replaceState({ y: scrollY }, '')
  history.pushState(null, '', now)
}
// The number pad and what is told of a part lie over a view: one step back takes them away.
export function noteOver() {
  const over = Boolean(state.pad || state.part), noted = Boolean(history.state && history.state.over)
  if (over && !noted) {
    history.replaceState({ y: scrollY }, '')
    history.pushState({ over: true }, '')
  } else if (!over && noted && !leaving && address() === (location.hash || '#')) {
    leaving = true
    history.back()
  }
}
export async function follow(hash) {
  const [first, second, third] = hash.slice(1).split('/').map(decodeURIComponent)
  following = true
  try {
    if (document.activeElement) document.activeElement.blur()
    Object.assign(state, { pad: null, part: null, opened: '', filter: '', sure: '' })
    if (first && first !== 'platforms') {
      Object.assign(state, { view: VIEWS.includes(second) ? second : 'Read', sub: SUBS().includes(third) ? third : 'Fuses', platform: null, draft: null })
      if (first !== state.key) await open(first)
    } else {
      state.shelf = first ? 'Platforms' : 'Jobs'
      if (state.key || !first) Object.assign(state, { platform: null, draft: null })
      if (state.key) await open('')
      if (second && (!state.platform || state.platform.key !== second)) await openPlatform({ key: second })
      if (!second) state.platform = null
      if (third && state.platform && !state.draft) await begin(state.platform)
      if (!third) state.draft = null
    }
  } finally { following = false }
  show()
}
addEventListener('popstate', async () => {
  if (leaving) {
    leaving = false
    return noteOver()
  }
  if ((state.pad || state.part) && address() === (location.hash || '#')) {
    Object.assign(state, { pad: null, part: null })
    showPad()
    return showPart()
  }
  const y = (history.state && history.state.y) || 0
  await follow(location.hash || '#')
  scrollTo(0, y)
})
