import { parseQuantity } from '@attemper/core/units/parse.ts'
import type { QuantityKind } from '@attemper/core/units/quantity.ts'

export interface Written {
  /** As it is put into the text; null: it can not be read. */
  readonly value: string | null
  /** What is wrong, and what would be right. */
  readonly problem: string | null
}

const NUMBER = /^([-−–]?)(\d*\.?\d+)(.*)$/s

/**
 * What a brewer has typed for a quantity, as it should stand in the text. A bare number gets the unit that stood there
 * before. `steps` counts up or down by the last digit that is written.
 */
export function writtenQuantity(typed: string, before: string, kind: QuantityKind, steps = 0): Written {
  const trimmed = stepped(typed.trim(), steps)
  const read = parseQuantity(trimmed, kind)
  if (read.ok && !isBare(trimmed)) return { value: trimmed, problem: null }
  const unit = NUMBER.exec(before.trim())?.[3] ?? ''
  const whole = isBare(trimmed) ? `${trimmed}${unit}` : trimmed
  const again = parseQuantity(whole, kind)
  if (again.ok) return { value: whole, problem: null }
  return { value: null, problem: `${again.problem.message} ${again.problem.cure}` }
}

function isBare(text: string): boolean {
  return NUMBER.exec(text)?.[3]?.trim() === ''
}

function stepped(text: string, steps: number): string {
  const found = NUMBER.exec(text)
  if (steps === 0 || found === null) return text
  const [, sign, number, rest] = found
  const decimals = number!.split('.')[1]?.length ?? 0
  const value = Number(number) * (sign === '' ? 1 : -1) + steps * 10 ** -decimals
  return `${value.toFixed(decimals)}${rest}`
}
