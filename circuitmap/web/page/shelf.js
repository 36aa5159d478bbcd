// The shelf: jobs, platforms to be read, and a job begun on one of them.

import { ask } from './desk.js'
import { askPart } from './part.js'
import { go, open, show } from './show.js'
import { button, make, pressed, state, taps } from './state.js'
import { keep, kept } from './store.js'

export function pairView() {
  const name = make('input', { id: 'name', autocomplete: 'name', maxlength: 40 })
  const done = async () => {
    const said = await ask('/pair', { code: state.pairing, name: name.value })
    if (said) { state.pairing = ''; name.blur(); await open('') }
  }
  return [make('label', { for: 'name' }, 'Whose phone is it? Your name stands beside what you write.'),
    name, button('Pair', done, { class: 'main' })]
}
const row = (title, says, more, tap) => make('button', { type: 'button', class: 'job', tap },
  make('b', {}, title), make('span', {}, says), more ? make('span', {}, more) : '')
export const shelfView = () => [
  state.platforms.length ? taps(...['Jobs', 'Platforms'].map(name => pressed(name === 'Jobs' ? 'Jobs' : 'Platforms, begin a job',
    name === state.shelf, () => { state.shelf = name; show() }))) : '',
  ...(state.shelf === 'Platforms' && state.platforms.length ? state.platforms.map(one => row(one.title, one.trouble || one.says, '', () => openPlatform(one))) :
    state.jobs.map(job => row(job.title, job.says, job.trouble || job.stands, () => go(job.key)))) ]

export async function openPlatform(one) {
  if (one.trouble) return
  const said = await ask(`/platforms/${one.key}`)
  if (said) keep(`platform ${one.key}`, said)
  state.platform = said || (await kept(`platform ${one.key}`)) || null
  state.draft = null
  show()
  scrollTo(0, 0)
}
export function platformView() {
  const its = state.platform
  const back = button(state.draft ? 'Back to the fuses' : 'Back to the jobs', () => {
    if (state.draft) state.draft = null
    else state.platform = null
    show()
  })
  if (state.draft) return [back, ...beginView(its)]
  return [back, make('a', { class: 'button', href: `/typing#${its.key}` }, 'Type in'), button('Begin a job', () => begin(its), { class: 'main' }),
    ...its.boxes.flatMap(box => [make('h2', {}, box.name), make('p', {}, box.says), ...box.fuses.map(fuse =>
      make('div', { class: `fuse ${fuse.why ? 'hands-off' : ''}` }, make('button', { type: 'button', class: 'about',
        tap: () => askPart(`/platforms/${its.key}/parts/${fuse.part}`) }, make('b', {}, fuse.short),
      make('span', { class: 'feeds' }, [fuse.size, fuse.feeds].filter(Boolean).join(', ')),
      fuse.why ? make('span', { class: 'state' }, `${fuse.sign} ${fuse.why}`) : '')))]) ]
}

// ---- a job begun: what was typed is kept until the desk has taken it ----

const ASKED = [['vehicle', 'Vehicle: what to call it (no number plate)'], ['complaint', 'What does the owner say?'],
  ['flat-after', 'How long does it take to go flat? For example: 2 days'],
  ['done-before', 'What was done or fitted just before it began?'],
  ['battery', 'Which battery? For example: 72Ah, or RC 120min']]
export async function begin(its) {
  const today = new Date(Date.now() + state.shift)
  const number = [today.getFullYear(), today.getMonth() + 1, today.getDate()].map(part => String(part).padStart(2, '0')).join('-')
  const taken = state.jobs.filter(job => job.title.startsWith(`job ${number}`)).length
  state.draft = (await kept(`draft ${its.key}`)) || { number: taken ? `${number}-${taken + 1}` : number, said: { battery: its.battery }, has: {} }
  show()
  scrollTo(0, 0)
}
function beginView(its) {
  const draft = state.draft, keepIt = () => keep(`draft ${its.key}`, draft)
  const field = (name, label, value, typed) => {
    const input = make('input', { id: `ask-${name}`, maxlength: 500, value, autocomplete: 'off' })
    input.addEventListener('input', () => { typed(input.value); keepIt() })
    return [make('label', { for: `ask-${name}` }, label), input]
  }
  const has = (name, value) => () => { draft.has[name] = draft.has[name] === value ? '' : value; keepIt(); show() }
  const named = value => its.options.map(one => one.name).filter(name => draft.has[name] === value)
  const done = async () => {
    document.activeElement.blur()
    const said = await ask(`/platforms/${its.key}/jobs`, { number: draft.number.trim(), said: draft.said,
      fitted: named('yes'), absent: named('no') })
    if (!said) { if (!state.line) state.notices.push('It is kept on this phone: tap Begin again when the line is back.'); return show() }
    await keep(`draft ${its.key}`, null)
    go(said.key, 'Find')
  }
  return [make('h2', {}, 'Begin a job'),
    make('p', {}, 'No name, phone number or number plate: whoever is on the Wi-Fi can read along.'),
    ...field('number', 'Job number', draft.number, value => { draft.number = value }),
    ...ASKED.flatMap(([name, label]) => field(name, label, draft.said[name] || '', value => { draft.said[name] = value })),
    its.options.length ? make('h2', {}, 'Equipment of this car; leave it open if you do not know') : '',
    ...its.options.map(one => make('div', { class: 'net' }, make('span', {}, `${one.name} ${one.says}`),
      pressed('has it', draft.has[one.name] === 'yes', has(one.name, 'yes')),
      pressed('has not', draft.has[one.name] === 'no', has(one.name, 'no')))),
    button('Begin', done, { class: 'main' })]
}
