import { registerHooks } from 'node:module'

/** A mend of the past that can be taken out again: one text of one file, replaced where it is loaded, never on the disk. */
interface Mutation {
  readonly file: string
  readonly from: string
  readonly to: string
}

export const MUTATIONS: Readonly<Record<string, readonly Mutation[]>> = {}

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
