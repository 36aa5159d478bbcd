// Names to choose from: rows that open by a tap, with the cautions of one above its taps; a long list is made shorter by
// typing.

import { show } from './show.js'
import { cautions, make, state, taps } from './state.js'
import { add } from './store.js'

const MANY = 10
export function write(line) {
  state.opened = ''
  document.activeElement.blur()
  add(line)
}
export function list(id, rows, seen, inside) {
  const fits = row => `${row.name} ${row.says}`.toLowerCase().includes(state.filter.toLowerCase())
  const made = rows.map(row => {
    const name = `${id} ${row.name}`, open = state.opened === name
    const its = make('div', { class: 'pick' }, make('button', { type: 'button', class: 'job', 'aria-expanded': String(open), tap: () => {
      document.activeElement.blur()
      state.opened = open ? '' : name
      show()
    } }, make('b', {}, row.name), make('span', {}, row.says), seen[row.name] ? make('span', {}, `● ${seen[row.name]}`) : ''),
    open ? [...cautions(row.care), taps(...inside(row))] : '')
    its.hidden = !fits(row)
    return [row, its]
  })
  return [...(rows.length > MANY ? filterOf(() => made.forEach(([row, its]) => { its.hidden = !fits(row) })) : []), ...made.map(([, its]) => its)]
}
function filterOf(changed) {
  const input = make('input', { type: 'search', 'aria-label': 'Find by name', placeholder: 'Find by name', value: state.filter, autocapitalize: 'off' })
  input.addEventListener('input', () => { state.filter = input.value; changed() })
  return [input]
}
export const withPlaces = inside => answer => state.places ? inside(answer, state.places) :
  [make('p', {}, state.line ? 'The names are being loaded.' : 'The names were never loaded on this phone: it needs a line once.')]
export const none = rows => rows.length ? [] : [make('p', {}, 'None that may be touched is typed in.')]
