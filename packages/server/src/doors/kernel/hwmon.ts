import { readdir } from 'node:fs/promises'
import type { Source } from '../polled/source.ts'
import type { KernelFiles } from './kernel-file.ts'

/** Chip and input: roomchip/temp1. A chip by its name, since the kernel numbers hwmon0, hwmon1 as it finds them. */
export const HWMON_INPUT = /^([A-Za-z0-9_][\w-]*)\/((?:temp|humidity)\d{1,3})$/

const FOLDER = '/sys/class/hwmon'

/** A sensor chip through the kernel's hwmon interface: thousandths of °C or of % relative humidity. */
export function hwmonInput(written: string, files: KernelFiles): Source {
  const [, chip = '', input = ''] = HWMON_INPUT.exec(written) ?? []
  const unit = input.startsWith('temp') ? '°C' : '%RH'
  return {
    door: 'hwmon',
    async sound() {
      try {
        const folder = await folderOf(chip, files)
        const text = await files.read(`${folder}/${input}_input`)
        if (text === null) throw new Error(`it has no ${input}_input`)
        if (!/^-?\d+$/.test(text)) throw new Error('it gives no number')
        const isFaulty = (await files.read(`${folder}/${input}_fault`)) === '1'
        const problem = isFaulty ? `${written}: the chip says that this sensor is faulty` : null
        return { value: Number(text) / 1000, unit, problem }
      } catch (error) {
        return {
          value: null,
          problem: `${written}: ${error instanceof Error ? error.message : String(error)}`,
        }
      }
    },
  }
}

async function folderOf(chip: string, files: KernelFiles): Promise<string> {
  const entries = await readdir(files.at(FOLDER)).catch((): string[] => [])
  if (entries.includes(chip)) return `${FOLDER}/${chip}`
  const named: { readonly entry: string; readonly name: string }[] = []
  for (const entry of entries.toSorted()) {
    named.push({ entry, name: (await files.read(`${FOLDER}/${entry}/name`)) ?? '' })
  }
  const [found, another] = named.filter(({ name }) => name === chip)
  if (found === undefined) {
    const list = named.map(({ name }) => name).join(', ')
    throw new Error(`the kernel has no such chip; ${list === '' ? 'it has none' : `there are: ${list}`}`)
  }
  if (another !== undefined) {
    throw new Error(`several chips have this name; write ${found.entry} or ${another.entry} instead`)
  }
  return `${FOLDER}/${found.entry}`
}
