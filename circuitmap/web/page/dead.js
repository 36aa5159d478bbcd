// What does not work, and what does: chosen together, written down as one line. The answer stands under Find.

import { list, none, withPlaces, write } from './lists.js'
import { show } from './show.js'
import { button, cautions, make, pressed, state, taps } from './state.js'

const SAYS = { dead: 'does not work', works: 'works' }
export const DEAD = { Dead: withPlaces((answer, { loads = [], keys = [] }) => {
  const its = state.dead, said = what => Object.keys(its.said).filter(name => its.said[name] === what)
  const at = its.key ? `@key=${its.key}` : ''
  const chosen = Object.keys(SAYS).filter(what => said(what).length)
  const choose = (name, what) => () => { if (its.said[name] === what) delete its.said[name]; else its.said[name] = what; state.opened = ''; show() }
  const seen = { ...answer.seen.loads, ...Object.fromEntries(Object.entries(its.said).map(([name, what]) => [name, `${SAYS[what]} (not written yet)`])) }
  return [make('p', {}, 'Switch each on yourself. What does not work, and what does, in the same state?'), ...none(loads),
    keys.length ? make('h2', {}, 'Key') : '', taps(...keys.map(key => pressed(key, key === its.key, () => { its.key = its.key === key ? '' : key; show() }))),
    make('h2', {}, 'Loads and relays'), ...cautions(answer.care.at['switch-on'] || []),
    ...list('dead', loads, seen, ({ name }) => Object.entries(SAYS).map(([what, words]) => pressed(words, its.said[name] === what, choose(name, what)))),
    chosen.length ? make('div', { class: 'chosen' }, ...chosen.map(what => make('p', {}, `${said(what).join(', ')}: ${SAYS[what]}${its.key ? `, key ${its.key}` : ''}`)),
      button('Write it down', () => {
        state.dead = { key: its.key, said: {} }
        write(chosen.map(what => `${what} ${said(what).map(name => name + at).join(' ')}`).join('; '))
      }, { class: 'main' })) : '']
}) }
