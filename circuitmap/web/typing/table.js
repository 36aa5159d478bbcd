// A table that was pasted: what its columns are taken for is shown and confirmed; rows that are not clear are asked.

import { here, sent, told } from './sent.js'
import { button, make, taps } from './state.js'
import { addLines, area } from './text.js'

let said = null, columns = [], headed = null, settled = {}
const pasted = make('textarea', { id: 'pasted', rows: 6, spellcheck: 'false', wrap: 'off', 'aria-label': 'The table' })
const box = make('input', { maxlength: 80, autocomplete: 'off' }), part = make('input', { maxlength: 80, autocomplete: 'off' })
const below = make('div', { id: 'columns' })
pasted.addEventListener('input', () => { said = null; columns = []; headed = null; settled = {}; below.replaceChildren() })

async function read(confirmed) {
  const about = { text: area.value, table: pasted.value, box: box.value, part: part.value, headed, columns: confirmed ? columns : [], settled }
  const got = await sent(here('/table'), about)
  if (!got) return
  said = got
  if (!confirmed || !columns.length) columns = got.table.columns.map(one => one.is)
  headed = got.table.head
  show(confirmed)
}
function show(confirmed) {
  const its = said.table
  const choose = number => {
    const select = make('select', { 'aria-label': `Column ${number + 1}` }, ...[...its.roles, '-'].map(role =>
      make('option', { value: role, selected: role === columns[number] }, role === '-' ? 'nothing of use' : role)))
    select.addEventListener('change', () => { columns[number] = select.value })
    return select
  }
  const head = make('input', { type: 'checkbox', checked: its.head })
  head.addEventListener('change', () => { headed = head.checked; read(false) })
  const rows = Math.max(0, ...its.columns.map(one => one.cells.length))
  const made = [
    its.looks_like ? make('p', { role: 'alert' }, `This looks like ${{ parts: 'a list of parts', terminals: 'a list of terminal designations', gauges: 'a table of wire gauges', unknown: 'nothing known' }[its.looks_like]}: it is none of the kinds of table that can be taken. If it is one after all, say what its columns are.`)
      : make('p', {}, `${{ fuses: 'A fuse chart', wires: 'A wire list', pins: 'A pin list' }[its.kind]}, ${its.rows} row${its.rows === 1 ? '' : 's'}.${its.kind_sure || confirmed ? '' : ' Unsure what kind of table this is: look at it.'} Is each column what stands above it?`),
    make('table', { class: 'columns' }, make('tr', {}, ...its.columns.map((one, number) => make('th', { class: one.sure || confirmed ? '' : 'unsure' },
      choose(number), one.sure || confirmed ? '' : make('span', { class: 'more' }, 'unsure: look at it')))),
      ...Array.from({ length: rows }, (_, row) => make('tr', {}, ...its.columns.map(one => make('td', {}, one.cells[row] || ''))))),
    make('label', { class: 'inline' }, head, 'The first row is a head'),
    button(confirmed ? 'Read it again' : 'This is right', () => read(true), { class: 'main' })]
  if (confirmed) made.push(...outcome())
  below.replaceChildren(...made)
}
function outcome() {
  const many = said.lines.length, question = said.questions[0]
  const settle = answer => { settled = { ...settled, [question.start]: answer }; read(true) }
  return [
    question ? make('div', { class: 'asked', role: 'alert' }, make('p', {}, `${said.questions.length} row${said.questions.length === 1 ? ' is' : 's are'} not clear. ${question.says}`),
      make('p', {}, make('code', {}, question.line)), taps(...question.choices.map(choice => button(choice, () => settle(choice))), button('Leave this row out', () => settle('')))) : '',
    said.there.length ? make('p', {}, `${said.there.length} row${said.there.length === 1 ? ' stands' : 's stand'} there already, and ${said.there.length === 1 ? 'is' : 'are'} left out.`) : '',
    said.there.length ? make('p', { class: 'full' }, said.there.slice(0, 6).join('\n') + (said.there.length > 6 ? `\nand ${said.there.length - 6} more` : '')) : '',
    make('p', { class: 'full' }, said.lines.slice(0, 6).join('\n') + (many > 6 ? `\nand ${many - 6} more` : '')),
    many ? button(`Put ${many} line${many === 1 ? '' : 's'} below the text${question ? ', the rest left out' : ''}`, () => {
      addLines(said.lines)
      told('All of it is marked as copied until somebody has checked it. Save it when it is right.')
      pasted.value = ''
      below.replaceChildren()
    }, { class: 'main' }) : make('p', {}, said.there.length ? 'There is nothing new in it.' : 'No row could be read so.')]
}
export const tableView = () => [make('details', { id: 'table' }, make('summary', {}, 'A table: fuse chart, pin list, wire list'),
  pasted, make('label', { class: 'inline' }, 'Box of the fuses', box), make('label', { class: 'inline' }, 'Part of the pins', part),
  button('Read the table', () => read(false)), below)]
