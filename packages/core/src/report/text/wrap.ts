import { UNIT_BEHIND } from '../../units/whole-quantities.ts'
import { widthOf } from './width.ts'

/** A number and its unit stay on one line. */
const SPACES = new RegExp(`(?<!\\d)\\s+|(?<=\\d)\\s+(?!${UNIT_BEHIND})`, 'u')

/** Breaks a text at spaces into lines of at most `width` columns; a longer word is cut. Never returns an empty list. */
export function wrap(text: string, width: number): string[] {
  const room = Math.max(1, width)
  const lines: string[] = []
  let line = ''
  for (const whole of text.split(SPACES).filter(word => word !== '')) {
    let word = whole
    while (word !== '') {
      const joined = line === '' ? word : `${line} ${word}`
      if (widthOf(joined) <= room) {
        line = joined
        break
      }
      if (line !== '') {
        lines.push(line)
        line = ''
        continue
      }
      const head = beginningOf(word, room)
      lines.push(head)
      word = word.slice(head.length)
    }
  }
  if (line !== '' || lines.length === 0) lines.push(line)
  return lines
}

/** The same with a first and a hanging indent, as one text. */
export function paragraph(text: string, width: number, first = '', hanging = first): string {
  return wrap(text, width - Math.max(widthOf(first), widthOf(hanging)))
    .map((line, index) => (index === 0 ? first : hanging) + line)
    .join('\n')
}

function beginningOf(word: string, room: number): string {
  let head = ''
  for (const character of word) {
    if (head !== '' && widthOf(head + character) > room) break
    head += character
  }
  return head
}
