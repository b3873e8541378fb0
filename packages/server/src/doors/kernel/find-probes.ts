import { readdir } from 'node:fs/promises'
import { HWMON_INPUT, hwmonInput } from './hwmon.ts'
import type { KernelFiles } from './kernel-file.ts'
import { ONE_WIRE_ID, oneWireProbe } from './one-wire.ts'

/** Something that the kernel can be asked for, with what it says now. */
export interface FoundProbe {
  readonly door: 'one-wire' | 'hwmon'
  /** As it is written in the door settings. */
  readonly name: string
  /** What the maker of the board calls it; null: nothing. */
  readonly label: string | null
  readonly value: number | null
  readonly unit: string | null
  /** Why the value is not to be believed; null: it is. */
  readonly problem: string | null
}

const BUS = '/sys/bus/w1/devices'
const CHIPS = '/sys/class/hwmon'

/** All 1-Wire probes and hwmon inputs that the kernel shows now. Each 1-Wire probe takes about a second. Never rejects. */
export async function findProbes(files: KernelFiles): Promise<readonly FoundProbe[]> {
  const probes = (await entriesOf(BUS, files)).filter(id => ONE_WIRE_ID.test(id))
  const inputs = await findInputs(files)
  const found: FoundProbe[] = []
  for (const id of probes) {
    const sounding = await oneWireProbe(id, files).sound()
    found.push({ door: 'one-wire', name: id, label: null, ...shown(sounding) })
  }
  for (const { name, label } of inputs) {
    found.push({ door: 'hwmon', name, label, ...shown(await hwmonInput(name, files).sound()) })
  }
  return found
}

function shown(sounding: {
  readonly value: number | null
  readonly unit?: string | undefined
  readonly problem: string | null
}) {
  const { value, unit = null, problem } = sounding
  return { value, unit, problem }
}

async function findInputs(files: KernelFiles) {
  const chips: { readonly entry: string; readonly name: string }[] = []
  for (const entry of await entriesOf(CHIPS, files)) {
    chips.push({ entry, name: (await files.read(`${CHIPS}/${entry}/name`).catch(() => null)) ?? entry })
  }
  const inputs: { readonly name: string; readonly label: string | null }[] = []
  for (const { entry, name } of chips) {
    // A name that several chips have does not say which.
    const isOnly = chips.filter(chip => chip.name === name).length === 1
    for (const file of await entriesOf(`${CHIPS}/${entry}`, files)) {
      const input = /^(.+)_input$/.exec(file)?.[1]
      const written = `${isOnly ? name : entry}/${input}`
      if (input === undefined || !HWMON_INPUT.test(written)) continue
      const label = await files.read(`${CHIPS}/${entry}/${input}_label`).catch(() => null)
      inputs.push({ name: written, label })
    }
  }
  return inputs
}

async function entriesOf(folder: string, files: KernelFiles): Promise<readonly string[]> {
  const entries = await readdir(files.at(folder)).catch((): string[] => [])
  return entries.toSorted((a, b) => a.localeCompare(b, 'en', { numeric: true }))
}

/** Looks when it is asked, but only once at a time: whoever asks meanwhile gets the same. */
export function probeFinder(files: KernelFiles): () => Promise<readonly FoundProbe[]> {
  let present: Promise<readonly FoundProbe[]> | null = null
  return () => {
    present ??= findProbes(files).finally(() => {
      present = null
    })
    return present
  }
}
