import type { EngineEvent } from '../../engine/events.ts'
import { formatDuration, formatGravity, formatQuantity, formatQuantityChange } from '../../units/format.ts'
import type { SentenceContext } from './context.ts'
import { capital, quantityName } from './names.ts'

type Of<K extends EngineEvent['kind']> = Extract<EngineEvent, { readonly kind: K }>

export function sayInCharge(event: Of<'in charge'>, context: SentenceContext): string {
  const name = capital(quantityName(event.quantity, context))
  if (event.instrument === null) return `${name} is unknown: no instrument for it can be believed.`
  const before = event.before === null ? '' : `, no longer from ${event.before}`
  return `${name} is now taken from ${event.instrument}${before}.`
}

export function sayLost(event: Of<'instrument lost'>, context: SentenceContext): string {
  const { instrument, quantity } = event
  const name = quantityName(quantity, context)
  const value = event.value === null ? null : readingOf(quantity, event.value, context)
  switch (event.why) {
    case 'silent': {
      const allowed_s = context.silenceAllowed_s?.[instrument]
      const long = allowed_s === undefined ? 'too long' : `more than ${formatDuration(allowed_s)}`
      return `${instrument} silent for ${long}: its ${name} is no longer believed.`
    }
    case 'bad':
      return value === null
        ? `${instrument} gives no valid ${name}: it is no longer believed.`
        : `${instrument} reads ${value}, which can not be right: its ${name} is no longer believed.`
    case 'implausible':
      return value === null
        ? `${instrument} is not sure of its ${name}: it is no longer believed.`
        : `${instrument} reads ${value}, which this beer can not have now: its ${name} is no longer believed.`
    case 'jumped':
      return `${instrument} has jumped${value === null ? '' : ` to ${value}`}: its ${name} is not believed for now.`
  }
}

export function sayBack(event: Of<'instrument back'>, context: SentenceContext): string {
  const value = readingOf(event.quantity, event.value, context)
  return `${event.instrument} is believed again: its ${quantityName(event.quantity, context)} is ${value}.`
}

const BECAUSE: Readonly<Record<Of<'stuck'>['because'], string>> = {
  time: 'a beer and its surroundings do not stand still for so long',
  heater: 'the heater has run all that time',
  cooler: 'the cooler has run all that time',
  others: 'another instrument has seen it move',
}

export function sayStuck(event: Of<'stuck'>, context: SentenceContext): string {
  const { instrument, quantity, value, at_s, since_s, because } = event
  const reading = readingOf(quantity, value, context)
  return `${instrument} has shown exactly the same value, ${reading}, for ${formatDuration(at_s - since_s)}, although ${BECAUSE[because]}: it may be stuck.`
}

export function sayMovesAgain(event: Of<'moves again'>, context: SentenceContext): string {
  return `${event.instrument} is not stuck any more: it shows ${readingOf(event.quantity, event.value, context)}.`
}

export function sayAgreement(event: Of<'disagree' | 'agree'>, context: SentenceContext): string {
  const [first, second] = event.instruments
  const name = quantityName(event.quantity, context)
  const difference = formatQuantityChange(event.quantity, Math.abs(event.difference), context.units, {
    unit: context.unitOf?.[event.quantity],
  })
  return event.kind === 'disagree'
    ? `${first} and ${second} disagree about the ${name}: they are ${difference} apart.`
    : `${first} and ${second} agree again about the ${name}: they are ${difference} apart.`
}

export function sayOriginalGravity(event: Of<'original gravity'>, context: SentenceContext): string {
  const gravity = formatGravity(event.gravity, context.units)
  const before = formatGravity(event.before, context.units)
  const insteadOf = before === gravity ? '' : `, not from ${before}`
  switch (event.from) {
    case 'float':
      return `${event.instrument} is in the wort: as warm as the beer, and steady. Its ${gravity} is the original gravity; attenuation is counted from it${insteadOf}.`
    case 'hand':
      return `The original gravity is ${gravity}, measured by hand: attenuation is counted from it${insteadOf}.`
    case 'beer file':
      return `No float could be shown to be in the wort soon enough after pitching: the original gravity stays the ${gravity} of the beer file. If you have measured it, enter it by hand.`
  }
}

function readingOf(quantity: string, value: number, context: SentenceContext): string {
  return formatQuantity(quantity, value, context.units, { unit: context.unitOf?.[quantity] })
}
