import { registerHooks } from 'node:module'

/** A mend of the past that can be taken out again: one text of one file, replaced where it is loaded, never on the disk. */
interface Mutation {
  readonly file: string
  readonly from: string
  readonly to: string
}

const KEEPER = 'server/src/live/batch-keeper.ts'

export const MUTATIONS: Readonly<Record<string, readonly Mutation[]>> = {
  /** Heat without knowing the beer, and leases of years, after a restart with the clock behind. */
  'times go with the clock': [
    {
      file: KEEPER,
      from: 'return Math.floor(this.#parts.clock.now_ms() / 1000)',
      to: 'return Math.max(Math.floor(this.#parts.clock.now_ms() / 1000), this.state.now_s ?? 0)',
    },
    { file: KEEPER, from: 'noticeClock(): void {', to: 'noticeClock(): void { return' },
    {
      file: 'server/src/live/resume.ts',
      from: 'const times_s = timesToMove_s(recorded, now_s) ?? clock_s',
      to: 'const times_s = 0',
    },
  ],
  /** 'Garage fridge' and 'Garage-fridge' command one appliance. */
  'vessels may not clash': [
    {
      file: 'server/src/doors/claims/harmful-clashes.ts',
      from: 'return isHarmful &&',
      to: 'return !isHarmful && isHarmful &&',
    },
    {
      file: 'server/src/doors/claims/check-vessel.ts',
      from: 'const clashes = [',
      to: 'const clashes = [] as readonly Clash[]; void [',
    },
  ],
  /** A batch that can not be taken up is silent, and a note on it ends the process. */
  'what is not kept is told': [
    {
      file: 'server/src/live/take-up.ts',
      from: "this.#host.onTrouble({ kind: 'not taken up', ...reason, batch: id })",
      to: '',
    },
    {
      file: 'server/src/start/batch-alarms.ts',
      from: 'for (const id of ids) lookIfPossible(id)',
      to: 'for (const id of ids) look(id)',
    },
  ],
  /** After a clock that was ahead, the next batch's commands are refused for as long as it was. */
  'fences above the highest': [
    {
      file: 'server/src/live/fence-for.ts',
      from: 'if (its === vessel) highest',
      to: 'if (its === vessel && highest < 0) highest',
    },
  ],
  /** The heater went on in the very second in which the cooler's lease lapsed. */
  'changeover after the lapse': [
    {
      file: 'core/src/engine/interlocks.ts',
      from: 'Math.max(other.ranUntil_s, lapsed_s) + program.interlocks.changeover_s',
      to: 'Math.max(other.ranUntil_s + program.interlocks.changeover_s, lapsed_s)',
    },
  ],
}

export function isMutation(name: string): boolean {
  return Object.hasOwn(MUTATIONS, name)
}

/** From now on, whoever imports the files of a mend in this thread gets them without it. */
export function takeOut(name: string): void {
  const mutations = MUTATIONS[name]
  if (mutations === undefined) throw new Error(`There is no mend "${name}".`)
  registerHooks({
    load(url, context, nextLoad) {
      const loaded = nextLoad(url, context)
      const own = mutations.filter(({ file }) => url.endsWith(`/packages/${file}`))
      if (own.length === 0) return loaded
      let source = String(loaded.source)
      for (const { file, from, to } of own) {
        if (source.split(from).length !== 2)
          throw new Error(`The mend "${name}" is not in ${file} as it was: ${from}`)
        source = source.replace(from, () => to)
      }
      return { ...loaded, source }
    },
  })
}
