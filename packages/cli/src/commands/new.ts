import { existsSync, mkdirSync, statSync, writeFileSync } from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import type { YeastClass } from '@attemper/core/beer/beer.ts'
import { parseLocalDateTime } from '@attemper/core/units/local-time.ts'
import { parseQuantity } from '@attemper/core/units/parse.ts'
import { bucketInFridge, bucketOnPad, vesselBeginning } from '@attemper/core/vessel/vessel-beginning.ts'
import { beerBeginning } from '../beginnings/beer-beginning.ts'
import { type Beginning, usualBeginning, YEAST_HABITS } from '../beginnings/beginning.ts'
import { planBeginning } from '../beginnings/plan-beginning.ts'
import { type Command, JSON_OPTION } from '../command.ts'
import { EXIT, UsageError } from '../exit-status.ts'
import type { Io } from '../io.ts'

const FILES = { plan: 'plan.yaml', vessel: 'vessel.yaml', beer: 'beer.yaml' } as const

/** Writes a plan, a vessel and a beer to start from. */
export const NEW: Command = {
  name: 'new',
  summary:
    'Writes a plan, a vessel and a beer to start from, each line explained; asks a few questions first.',
  arguments: [{ name: 'FOLDER', about: 'where to write them; made when it is not there' }],
  options: [{ name: 'yes', about: 'ask nothing, take the usual answers' }, JSON_OPTION],
  needs: [],
  examples: ['attemper new spring-ale', 'attemper new spring-ale --yes'],
  statuses: { good: 'written; nothing was overwritten' },
  async run(given, io) {
    const name = given.arguments[0]!
    const folder = resolve(io.folder, name)
    refuseOverwriting(folder, name)
    const usual = usualBeginning(new Date(io.now_ms()).toISOString().slice(0, 10))
    const asks = !given.switch('yes') && !given.switch('json') && io.ask !== null
    const beginning = asks ? await askUnlessStopped(usual, io) : usual
    const vesselOf = beginning.equipment === 'fridge' ? bucketInFridge : bucketOnPad
    const texts = {
      plan: planBeginning(beginning),
      vessel: vesselBeginning(vesselOf(beginning.volume_L)),
      beer: beerBeginning(beginning),
    }
    const parts = ['plan', 'vessel', 'beer'] as const
    try {
      makeFolder(folder)
      // 'wx' refuses to overwrite even a file that has appeared since we looked.
      for (const part of parts) writeFileSync(join(folder, FILES[part]), texts[part], { flag: 'wx' })
    } catch (error) {
      throw new UsageError(`${name} can not be written (${(error as NodeJS.ErrnoException).code}).`)
    }
    const [plan, vessel, beer] = parts.map(part => join(name, FILES[part]))
    if (given.switch('json')) {
      io.out(`${JSON.stringify({ files: { plan, vessel, beer } }, null, 2)}\n`)
      return EXIT.good
    }
    io.out(
      `Written: ${plan}, ${vessel} and ${beer}. Next:\n` +
        `  attemper check ${plan} --vessel ${vessel} --beer ${beer}\n` +
        `  attemper rehearse ${plan} --vessel ${vessel} --beer ${beer}\n`,
    )
    return EXIT.good
  },
}

function refuseOverwriting(folder: string, name: string): void {
  if (!existsSync(folder)) return
  if (!statSync(folder).isDirectory()) throw new UsageError(`${name} is a file; a folder is expected.`)
  const there = Object.values(FILES).find(file => existsSync(join(folder, file)))
  if (there !== undefined) {
    throw new UsageError(
      `${join(name, there)} is there already and is not overwritten: choose another folder.`,
    )
  }
}

/** One folder after the other: Node's own `recursive` never comes back where a folder can not be made, such as in /proc. */
function makeFolder(folder: string): void {
  if (existsSync(folder)) return
  makeFolder(dirname(folder))
  mkdirSync(folder)
}

/** Ctrl-C and Ctrl-D at a question end the command; that is a decision, not a fault. */
async function askUnlessStopped(usual: Beginning, io: Io): Promise<Beginning> {
  try {
    return await askAbout(usual, io)
  } catch (error) {
    if (!(error instanceof Error && error.name === 'AbortError')) throw error
    io.err('\n')
    throw new UsageError('stopped before the last question; nothing was written.')
  }
}

async function askAbout(usual: Beginning, io: Io): Promise<Beginning> {
  const ask = io.ask!
  /** Asks until the answer can be read; an empty answer takes what stands in brackets. */
  const until = async <T>(
    question: string,
    shown: string,
    read: (answer: string) => T | null,
  ): Promise<T> => {
    for (;;) {
      const answer = (await ask(`${question} [${shown}] `)).trim()
      const value = read(answer === '' ? shown : answer)
      if (value !== null) return value
      io.err('That could not be understood; try it as it stands in the brackets.\n')
    }
  }
  const quantity =
    (kind: 'volume' | 'gravity' | 'temperature', least: number, most: number) => (answer: string) => {
      const parsed = parseQuantity(answer, kind)
      return parsed.ok && parsed.value >= least && parsed.value <= most ? parsed.value : null
    }
  const choice =
    <T extends string>(words: readonly T[]) =>
    (answer: string) =>
      words.find(word => word === answer.toLowerCase()) ?? null

  const name = await until('What is the beer called?', usual.name, answer => answer.slice(0, 80))
  const volume_L = await until('How much of it?', `${usual.volume_L} L`, quantity('volume', 0.5, 10_000))
  const originalGravity = await until(
    'Original gravity?',
    usual.originalGravity.toFixed(3),
    quantity('gravity', 1.01, 1.2),
  )
  const usualFinal = 1 + (originalGravity - 1) * 0.24
  const finalGravity = await until(
    'Expected final gravity?',
    usualFinal.toFixed(3),
    quantity('gravity', 0.985, originalGravity - 0.001),
  )
  const classes = Object.keys(YEAST_HABITS) as YeastClass[]
  io.err(`Kinds of yeast: ${classes.join(', ')}.\n`)
  const yeast = await until('Which kind of yeast?', usual.yeast, choice(classes))
  const target_C = await until(
    'At which temperature does it ferment?',
    `${YEAST_HABITS[yeast].target_C} °C`,
    quantity('temperature', 0, 45),
  )
  io.err('Equipment: fridge (a refrigerator with a heat belt) or pad (a bucket on a heat pad).\n')
  const equipment = await until('Which equipment?', usual.equipment, choice(['fridge', 'pad'] as const))
  const start = await until('When do you pitch?', usual.start, answer => {
    const parsed = parseLocalDateTime(answer)
    return parsed.ok ? parsed.value.text : null
  })
  return {
    name,
    volume_L: tidy(volume_L),
    originalGravity,
    finalGravity,
    yeast,
    target_C: tidy(target_C),
    equipment,
    start,
  }
}

/** 64 °F is 17.8 °C in a file that a person will read. */
function tidy(value: number): number {
  return Number(value.toFixed(1))
}
