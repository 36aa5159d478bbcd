// What is seen without a fuse: relays, live data, networks, a scan, codes, and what eyes, hands and nose find. Names come
// from the platform; what is hands-off is not among them; what to take care of stands above the taps.

import { list, none, withPlaces, write } from './lists.js'
import { openPad } from './reading.js'
import { show } from './show.js'
import { button, cautions, make, pressed, state, taps } from './state.js'

export const SEEN = {
  Relays: withPlaces((answer, { relays }) => [
    ...cautions(answer.care.at['relay-volts']), ...cautions(answer.care.at.look), ...none(relays),
    ...list('relay', relays, { ...answer.seen.found, ...answer.seen.relays }, ({ name }) => [
      button('volts at its coil', () => write(`relay ${name} held`)),
      button('none, yet its contact is closed', () => write(`relay ${name} stuck`)),
      button('none, and open', () => write(`relay ${name} open`)),
      button('warm by hand', () => write(`found ${name} warm`)) ]) ]),
  'Live data': withPlaces((answer, { inputs }) => [
    ...cautions(answer.care.at.inputs), ...none(inputs),
    ...list('input', inputs, answer.seen.inputs, ({ name }) => [
      button('shown as it is', () => write(`input ${name} right`)),
      button('shown wrong', () => write(`input ${name} wrong`)) ]) ]),
  Networks: withPlaces((answer, { networks }) => [
    ...cautions(answer.care.at['network-line']), ...none(networks),
    ...list('network', networks, answer.seen.networks, ({ name, says }) => [
      button('volts', () => openPad({ name, short: name, feeds: says }, null, 'line')),
      button('awake', () => write(`network ${name} awake`)), button('asleep', () => write(`network ${name} asleep`)) ]) ]),
  Scan: withPlaces((answer, { modules }) => scanView(answer, modules)),
  Codes: withPlaces((answer, { modules }) => codesView(answer, modules)),
  Found: withPlaces((answer, { places, signs }) => [
    ...cautions(answer.care.at.look),
    taps(button('looked all round, nothing found', () => write('looked'))),
    ...list('found', places, answer.seen.found, ({ name, kind }) => signs.filter(sign => sign !== 'burning' || kind === 'lamp')
      .map(sign => button(sign, () => write(`found ${name} ${sign}`)))) ]),
}

const REPLIES = ['silent', 'unsteady', 'answers']
function scanView(answer, modules) {
  const said = REPLIES.map(reply => [reply, modules.filter(one => state.scan[one.name] === reply).map(one => one.name)]).filter(([, names]) => names.length)
  const left = modules.filter(one => !state.scan[one.name])
  return [
    ...cautions(answer.care.at.inputs), ...none(modules),
    make('p', {}, 'With the key on: who never answers, who comes and goes, who answers.'),
    ...modules.map(one => make('div', { class: 'scan' }, make('p', {}, make('b', {}, one.name), ` ${one.says}`,
      answer.seen.modules[one.name] ? ` ● ${answer.seen.modules[one.name]}` : ''),
    ...REPLIES.map(reply => pressed(reply, state.scan[one.name] === reply, () => {
      state.scan[one.name] = state.scan[one.name] === reply ? '' : reply
      show()
    }, { 'aria-label': `${one.name} ${reply}` })))),
    left.length && said.length ? button(`All the rest answers (${left.length})`, () => { for (const one of left) state.scan[one.name] = 'answers'; show() }) : '',
    said.length ? button('Write the scan down', () => {
      state.scan = {}
      write(`scan ${said.map(([reply, names]) => `${reply} ${names.join(' ')}`).join(' ')}`)
    }, { class: 'main' }) : '' ]
}
const STANDING = ['stored', 'back', 'low-voltage']
function codesView(answer, modules) {
  const its = state.code
  const input = make('input', { id: 'code', maxlength: 4, value: its.digits || '', autocapitalize: 'characters', autocomplete: 'off' })
  input.addEventListener('input', () => { its.digits = input.value })
  const choose = (key, value) => () => { document.activeElement.blur(); its[key] = its[key] === value ? '' : value; show() }
  const chips = (key, names) => taps(...names.map(name => pressed(name, its[key] === name, choose(key, name))))
  const names = modules.map(one => one.name)
  return [
    ...cautions(answer.care.at.inputs),
    make('h2', {}, 'Code'), chips('letter', ['P', 'C', 'B', 'U']), make('label', { for: 'code' }, 'Its four digits'), input,
    chips('standing', STANDING),
    names.length ? make('h2', {}, 'Reported by') : '', chips('module', names),
    names.length ? make('h2', {}, 'About (whom it misses)') : '', chips('about', names),
    button('Write it down', () => {
      const digits = (its.digits || '').trim()
      if (!its.letter || !digits) { state.notices.push('A code is a letter and four digits.'); return show() }
      state.code = {}
      write(['codes', its.letter + digits, its.standing, its.module, its.about && `about ${its.about}`].filter(Boolean).join(' '))
    }, { class: 'main' }) ]
}
