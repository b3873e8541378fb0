/**
 * How many columns a text takes up in a terminal: combining marks take none, East Asian wide characters and emoji two
 * (Unicode Standard Annex 11; the ranges are the common blocks, not the whole table). Tabs go to the next multiple of 8.
 */
export function widthOf(text: string): number {
  let width = 0
  for (const character of text) width += characterWidth(character, width)
  return width
}

/** Columns that one character takes when it begins at `column` (counted from 0). */
export function characterWidth(character: string, column: number): number {
  if (character === '\t') return TAB - (column % TAB)
  const code = character.codePointAt(0) ?? 0
  if (code < 32 || (code >= 0x7f && code < 0xa0)) return 0
  if (ZERO_WIDTH.test(character)) return 0
  return WIDE.some(([first, last]) => code >= first && code <= last) ? 2 : 1
}

const TAB = 8
const ZERO_WIDTH = /^[\p{Mn}\p{Me}\p{Cf}]$/u
const WIDE: readonly (readonly [number, number])[] = [
  [0x1100, 0x115f],
  [0x2e80, 0x303e],
  [0x3041, 0xa4cf],
  [0xac00, 0xd7a3],
  [0xf900, 0xfaff],
  [0xfe30, 0xfe6f],
  [0xff00, 0xff60],
  [0xffe0, 0xffe6],
  [0x1f300, 0x1faff],
  [0x20000, 0x3fffd],
]
