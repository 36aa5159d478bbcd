// The card: what waits, all entries with who and when, photos, and one line for whatever has no tap.

import { ask } from './desk.js'
import { endButtons, endView } from './mending.js'
import { logButton } from './log.js'
import { go, show } from './show.js'
import { button, caution, make, state, taps, widest } from './state.js'
import { add, drop, keep, typedName, waiting } from './store.js'

export const cardView = answer => [
  make('p', {}, [answer.vehicle, answer.complaint].filter(Boolean).join(': ')),
  ...(state.end ? endView(answer) : state.shot ? shotBlock() : [taps(photoButton('Photo', ''), logButton(), ...endButtons())]),
  ...waiting().map(waitBlock),
  ...[...answer.entries].reverse().map(entryBlock), ...lineForm() ]

function waitBlock(one) {
  const sure = state.sure === `drop ${one.id}`
  const away = () => {
    if (sure) drop(one).then(show)
    else { state.sure = `drop ${one.id}`; show() }
  }
  const why = one.why ? [make('p', {}, one.why), taps(
    one.photo ? '' : button('Change it', () => { type(one.line); drop(one).then(() => go(state.key, 'Card')) }),
    one.photo ? '' : button('Keep as a remark', () => drop(one).then(() => add(`remark ${one.line}`))),
    button(sure ? 'Tap again: throw it away' : 'Throw it away', away))] : []
  return make('div', { class: 'entry waits' }, make('b', {}, one.why ? 'Not taken' : 'Waiting'),
    make('p', {}, [one.line, one.photo ? 'with a photo' : ''].filter(Boolean).join(', ')), ...why)
}
function entryBlock(entry) {
  const name = `strike ${entry.id || entry.number}`
  const reason = make('input', { 'aria-label': 'Why is it wrong?', placeholder: 'Why is it wrong?', maxlength: 200 })
  const strike = async () => {
    if (state.sure !== name) { state.sure = name; return show() }
    const about = { id: entry.id, number: entry.number, says: entry.says, reason: reason.value }
    if (await ask(`/jobs/${state.key}/strike`, about)) { state.sure = ''; reason.blur(); show() }
  }
  return make('div', { class: entry.struck ? 'entry struck' : 'entry' },
    make('b', {}, [entry.at, entry.by].filter(Boolean).join(', ')), make('p', {}, entry.says),
    entry.photo ? photoOf(entry) : '',
    entry.struck ? make('p', {}, `Struck: ${entry.struck}`) : state.sure === name ? reason : '',
    entry.struck ? '' : taps(button(state.sure === name ? 'Strike it' : 'Strike', strike), photoButton('Photo', entry.says)))
}
function photoOf(entry) {
  const image = make('img', { class: 'photo', alt: `Photo to: ${entry.says}`, loading: 'lazy', src: `/jobs/${state.key}/photos/${entry.id}` })
  image.addEventListener('error', () => image.replaceWith(make('p', {}, state.line ? 'The photo does not lie beside the card any more.' : 'The photo needs a line.')))
  return image
}
export function type(words) {  // what is typed outlives the view, and the page
  state.typed = words
  keep(typedName(state.key), words)
}
export function lineForm() {
  const input = make('input', { id: 'typed', autocapitalize: 'off', autocomplete: 'off', maxlength: 2000, value: state.typed,
    placeholder: 'remark rain all night' })
  const done = () => { if (input.value.trim()) { const line = input.value; state.typed = input.value = ''; input.blur(); add(line, { typed: true }) } }
  input.addEventListener('input', () => type(input.value))
  input.addEventListener('keydown', event => { if (event.key === 'Enter') done() })
  return [make('label', { for: 'typed' }, 'Anything else, as one line'), input, button('Write it down', done, { class: 'main' })]
}

// ---- photos: drawn anew and smaller on this phone, so that neither its place nor its maker goes along ----

const LONGEST_SIDE = 1600, LARGEST = 1900000
async function smaller(file) {
  const bitmap = await createImageBitmap(file, { imageOrientation: 'from-image' })
  const scale = Math.min(1, LONGEST_SIDE / Math.max(bitmap.width, bitmap.height))
  const canvas = make('canvas', { width: Math.max(1, Math.round(bitmap.width * scale)), height: Math.max(1, Math.round(bitmap.height * scale)) })
  canvas.getContext('2d').drawImage(bitmap, 0, 0, canvas.width, canvas.height)
  for (const quality of [0.82, 0.6, 0.4]) {
    const blob = await new Promise(done => canvas.toBlob(done, 'image/jpeg', quality))
    if (blob && blob.size <= LARGEST) return blob
  }
  throw new Error('too large')
}
function photoButton(words, about) {
  const input = make('input', { type: 'file', accept: 'image/*', capture: 'environment', 'aria-label': about ? `Photo to: ${about}` : words })
  input.addEventListener('change', async () => {
    const [file] = input.files
    input.blur()
    if (!file) return
    try {
      const blob = await smaller(file)
      state.shot = { blob, about, words: '', url: URL.createObjectURL(blob) }
    } catch { state.notices.push('This picture cannot be read: take it again.') }
    if (state.view !== 'Card' && !widest.matches) go(state.key, 'Card')
    else show()
    scrollTo(0, 0)
  })
  return make('label', { class: 'button photo-button' }, words, input)
}
function shotBlock() {
  const shot = state.shot
  const words = make('input', { id: 'shows', maxlength: 300, value: shot.words, autocomplete: 'off' })
  words.addEventListener('input', () => { shot.words = words.value })
  const end = () => { URL.revokeObjectURL(shot.url); state.shot = null; words.blur() }
  const done = () => {
    const said = [shot.words.trim(), shot.about && `to: ${shot.about}`].filter(Boolean).join('; ').slice(0, 1000)
    end()
    add(said ? `remark ${said}` : '', { photo: shot.blob })
  }
  return [make('section', { class: 'step' }, make('h2', {}, 'Photo'), make('img', { class: 'photo', alt: 'The photo that was taken', src: shot.url }),
    shot.about ? make('p', {}, `To: ${shot.about}`) : '', caution('No number plate, no face: it also stands in the report.'),
    make('label', { for: 'shows' }, 'What does it show?'), words,
    button('Keep the photo', done, { class: 'main' }), button('Do not keep it', () => { end(); show() }))]
}

// ---- the report ----

function printed(view) {
  go(state.key, view)
  setTimeout(() => print(), 300)
}
export const reportView = () => [make('h2', {}, 'Report'),
  make('p', {}, 'Without the customer: it can be shown to anybody, and printed.'),
  taps(make('a', { class: 'button', href: `/jobs/${state.key}/report`, target: '_blank', rel: 'noopener' }, 'Open the report')),
  make('h2', {}, 'Print from here'),
  taps(button('Print the fuses', () => printed('Read')), button('Print the steps', () => printed('Find')), button('Print the card', () => printed('Card')))]
