import { nearestWord } from '@attemper/core/units/nearest-word.ts'
import type { ListedBatch } from '@attemper/server/http/published.ts'
import type { BatchRecord } from '@attemper/server/store/store.ts'
import type { CellarClient } from '../cellar-client.ts'
import { UsageError } from '../exit-status.ts'

export const BATCH_ARGUMENT = {
  name: 'BATCH',
  about: 'the batch, or the vessel that it is in, or the beginning of a word of either',
} as const

/**
 * The batch that a person means: its whole id; or the vessel or the beer, or the beginning of a word of these, as long as
 * only one running batch fits (among the ended ones, when none runs that fits).
 */
export async function whichBatch(client: CellarClient, word: string): Promise<BatchRecord> {
  const batches = await client.get<readonly BatchRecord[]>('/batches')
  const exact = batches.find(({ id }) => id === word)
  if (exact !== undefined) return exact
  for (const among of [batches.filter(isRunning), batches.filter(each => !isRunning(each))]) {
    const fitting = among.filter(each => fits(each, word))
    if (fitting.length === 1) return fitting[0]!
    if (fitting.length > 1) {
      throw new UsageError(`“${word}” may be ${fitting.map(({ id }) => id).join(' or ')}: name one of them.`)
    }
  }
  throw new UsageError(`There is no batch “${word}”. ${hint(batches, word)}`)
}

export function isRunning({ ended_ms }: BatchRecord): boolean {
  return ended_ms === null
}

/** Runs, and somebody looks after it. */
export function isKept(batch: ListedBatch): boolean {
  return isRunning(batch) && batch.unkept === null
}

function fits({ id, vessel, name }: BatchRecord, word: string): boolean {
  const wanted = plain(word)
  return wanted !== '' && [id, vessel, name].some(each => `-${plain(each)}`.includes(`-${wanted}`))
}

function plain(text: string): string {
  return text.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, '-')
}

function hint(batches: readonly BatchRecord[], word: string): string {
  const running = batches.filter(isRunning).map(({ id }) => id)
  const nearest = nearestWord(
    word,
    batches.map(({ id }) => id),
  )
  if (nearest !== null) return `Did you mean ${nearest}?`
  if (running.length > 0) return `Running: ${running.join(', ')}.`
  return batches.length === 0
    ? 'None has been started yet: see "attemper start --help".'
    : `None is running; the latest was ${batches.at(-1)!.id}.`
}
