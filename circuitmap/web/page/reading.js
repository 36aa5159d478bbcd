// Reading: the vehicle, the totals, the fuses box by box, and the number pad.

import { lineForm } from './card.js'
import { askPart } from './part.js'
import { CHECKS } from './checks.js'
import { DEAD } from './dead.js'
import { SEEN } from './seen.js'
import { noteOver } from './where.js'
import { show } from './show.js'
import { button, caution, cautions, later, make, node, pressed, state, taps, widest } from './state.js'
import { add, keep, waiting } from './store.js'
import { loadPlaces } from './desk.js'

export const SUBS = () => ['Fuses', ...Object.keys(SEEN), ...Object.keys(CHECKS), ...Object.keys(DEAD)]
export const readView = answer => [
  taps(...SUBS().map(name => pressed(name, name === state.sub, () => {
    Object.assign(state, { sub: name, opened: '', filter: '', sure: '' })
    show()
    if (name !== 'Fuses') loadPlaces()
  }))),
  ...(state.sub === 'Fuses' ? fusesView(answer) : { ...SEEN, ...CHECKS, ...DEAD }[state.sub](answer)) ]

const fusesView = answer => [
  make('h2', {}, 'Vehicle'),
  taps(...answer.states.map(line => button(line, () => { const more = { ago: state.ago }; state.ago = 0; add(line, more) }))),
  ...earlier(),
  ...cautions(answer.care.at['read-fuse']),
  ...answer.totals.map(one => row({ name: one.name, short: one.name, feeds: one.says, sign: one.shown ? '●' : '?',
    state: one.shown ? 'read' : 'not read', shown: one.shown, by: one.by, total: answer.totals.length === 1 })),
  ...answer.boxes.flatMap(box => [make('h2', {}, box.name), make('p', {}, box.says), feeder(box), boxMap(box), rest(box), ...box.fuses.map(fuse => row(fuse, box))]),
  ...(widest.matches ? [] : lineForm()) ]

// What was locked before anybody took the phone: the time to sleep counts from then.
function earlier() {
  const more = minutes => () => { state.ago += minutes; show() }
  return [taps(button('5 min earlier', more(5)), button('1 h earlier', more(60)), state.ago ? button('Now', () => { state.ago = 0; show() }) : ''),
    state.ago ? make('p', { role: 'status' }, `Tap what it was above: it counts from ${clockOf(Date.now() + state.shift - state.ago * 60000)}.`) : '']
}
const clockOf = ms => new Date(ms).toTimeString().slice(0, 5)
const feeder = box => box.feeder ? row({ name: box.name, short: 'Feeder', feeds: 'all of this box, by a clamp round its cable',
  sign: box.feeder.shown ? '●' : '?', state: box.feeder.shown ? 'read' : 'not read', ...box.feeder }) : ''

const waitingFor = fuse => waiting().find(one => !one.why && (one.line.startsWith(`${fuse.name}=`) || (fuse.total && one.line.startsWith('total ')) ||
  one.line.includes(` ${fuse.name}=`)))
function row(fuse, box) {
  const wait = waitingFor(fuse)
  const stands = [`${fuse.sign} ${fuse.why || fuse.state}`, fuse.shown, fuse.by].filter(Boolean).join('  ')
  const said = make('span', { class: 'state' }, wait ? '… waiting' : stands)
  const words = [make('b', {}, fuse.short), make('span', { class: 'feeds' }, [fuse.size, fuse.feeds].filter(Boolean).join(', ')), said,
    fuse.asleep ? make('span', { class: 'asleep' }, `asleep ${fuse.asleep}`) : '']
  const name = `fuse ${fuse.state.replace(' ', '-')}`
  if (box && !fuse.read) return make('div', { class: name }, make('div', { class: 'about' }, ...words))
  return make('div', { class: name }, make('button', { type: 'button', class: 'about', tap: () => openPad(fuse, box) }, ...words),
    box ? button('0.0', () => add(fuse.zero), { 'aria-label': `${fuse.short} shows nothing`, class: 'zero' }) : '')
}
// The box as it lies in the vehicle: each place with its sign; a tap opens its number pad.
function boxMap(box) {
  if (!box.rows.length) return ''
  const fuses = Object.fromEntries(box.fuses.map(fuse => [fuse.short, fuse]))
  const cell = short => {
    const fuse = fuses[short]
    if (!fuse) return make('td', {}, make('span', { class: 'cell' }, short))
    const wait = waitingFor(fuse), name = `cell ${wait ? 'waits' : fuse.state.replace(' ', '-')}`, sign = wait ? '…' : fuse.sign
    return make('td', {}, fuse.read ? button(`${short}\n${sign}`, () => openPad(fuse, box), { class: name, 'aria-label': `${short}, ${fuse.state}` }) :
      make('span', { class: name }, `${short}\n${sign}`))
  }
  return make('div', { class: 'frame plain-frame', tabindex: 0, role: 'region', 'aria-label': `${box.name} as it lies` },
    box.up ? make('p', {}, `▲ ${box.up}`) : '', make('table', { class: 'map' }, ...box.rows.map(row => make('tr', {}, ...row.map(cell)))))
}
function rest(box) {
  const left = box.fuses.filter(one => one.read && one.probed && one.state === 'not read' && !waitingFor(one))
  if (left.length < 2) return ''
  const name = `rest ${box.name}`, sure = state.sure === name
  return button(sure ? `Tap again: ${left.length} fuses showed 0.0 mV` : `All the rest 0.0 (${left.length})`, () => {
    state.sure = sure ? '' : name
    if (sure) add(left.map(one => one.zero).join(' '))
    else show()
  }, { class: 'main' })
}

// ---- the number pad ----

const UNITS = { fuse: ['mV', 'A', 'mA'], total: ['A', 'mA'], line: ['V'], volts: ['V'], lost: ['V', 'mV'], probe: ['V', 'mV'], log: ['A', 'mA'], long: ['min', 'h'], every: ['s', 'min'] }
const MAY_BE_ZERO = ['fuse', 'total', 'line', 'lost', 'probe']
export function openPad(fuse, box, kind = fuse.probed ? 'fuse' : 'total') {
  const units = UNITS[kind], unit = state.unit[kind]
  state.part = null
  state.pad = { fuse, box, kind, units, typed: '', steady: false, unit: units.includes(unit) ? unit : units[0] }
  showPad()
}
// With which meter a current was read; the card goes on with the last one that it was told of, whoever told it.
function meterOf(its) {
  if (!['fuse', 'total'].includes(its.kind) || its.unit === 'mV') return ''
  const said = later().meter
  return state.meter || (said && said !== 'clamp' ? 'clamp' : '')
}
function careOf(its, care) {
  if (its.fuse.care) return its.fuse.care
  if (its.kind === 'line') return care.at['network-line']
  if (its.unit === 'mV') return care.at['read-fuse']
  return (care.meters.find(one => one.kind === (state.meter || 'clamp')) || care.meters[0]).care
}
export function showPad() {
  const its = state.pad, pad = node('pad'), answer = later()
  pad.hidden = !its || !answer
  document.body.classList.toggle('padded', !pad.hidden)
  noteOver()
  if (pad.hidden) return pad.replaceChildren()
  const press = digit => () => {
    if (digit === '<') its.typed = its.typed.slice(0, -1)
    else if (!(digit === '.' && its.typed.includes('.')) && its.typed.length < 7) its.typed += digit
    showPad()
  }
  const done = typed => {
    if (!/\d/.test(typed)) return
    const value = typed.replace(/^\./, '0.').replace(/\.$/, '')
    const { fuse, box, unit, kind } = its
    state.unit[kind] = unit
    keep('unit', state.unit)
    const order = box ? box.fuses.filter(one => one.read && (one.state === 'not read' || one === fuse) && !waitingFor(one)) : []
    const next = order[order.indexOf(fuse) + 1]
    const more = { meter: meterOf(its) || undefined, steady: its.steady || undefined }
    state.pad = null
    if (next) openPad(next, box)
    else showPad()
    if (fuse.take) fuse.take(value + unit)
    else add(fuse.line ? fuse.line(value + unit) : kind === 'line' ? `network ${fuse.name} ${value}${unit}` : fuse.total ? `total ${value}${unit}` : `${fuse.name}=${value}${unit}`, more)
  }
  const current = ['fuse', 'total'].includes(its.kind) && its.unit !== 'mV', care = careOf(its, answer.care)
  const meters = current ? answer.care.meters.map(one => pressed(one.words, one.kind === state.meter, () => {
    state.meter = state.meter === one.kind ? '' : one.kind
    keep('meter', state.meter)
    showPad()
  })) : []
  const about = [its.fuse.feeds, its.fuse.asleep ? `asleep ${its.fuse.asleep}` : ''].filter(Boolean).join('; ').slice(0, 90)
  pad.replaceChildren(
    make('p', { class: 'reading' }, make('b', {}, its.fuse.short), ` ${its.typed || '…'} ${its.unit}`),
    make('p', {}, about), care.length ? caution(care.join(' ')) : '',
    taps(...(its.units.length > 1 ? its.units : []).map(unit => pressed(unit, unit === its.unit, () => { its.unit = unit; showPad() })),
      its.fuse.part ? button('?', () => askPart(`/jobs/${state.key}/parts/${its.fuse.part}`), { 'aria-label': `What is ${its.fuse.short}?` }) : '',
      button('Close', () => { state.pad = null; showPad() })),
    current ? taps(...meters, its.kind === 'total' ? pressed('steady', its.steady, () => { its.steady = !its.steady; showPad() }) : '') : '',
    make('div', { class: 'keys' }, ...['1', '2', '3', '<', '4', '5', '6', '.', '7', '8', '9', '0'].map(digit =>
      button(digit, press(digit), digit === '<' ? { 'aria-label': 'Take the last digit back' } : {})),
    MAY_BE_ZERO.includes(its.kind) ? button('0.0', () => done('0.0'), { class: 'zero' }) : '',
    button(its.fuse.take ? 'Take it' : 'Write', () => done(its.typed), { class: 'main' })))
}
