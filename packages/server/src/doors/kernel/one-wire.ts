import type { Sounding, Source } from '../polled/source.ts'
import type { KernelFiles } from './kernel-file.ts'

/** As the kernel names a probe: its family and its number, in hexadecimal digits. */
export const ONE_WIRE_ID = /^[0-9a-f]{2}-[0-9a-f]{12}$/

const FOLDER = '/sys/bus/w1/devices'

/** What the probes of this kind hold when they have been given power but not yet measured (data sheet of the DS18B20). */
const POWER_ON_C = 85
/** A kettle may really be there; then the reading before was near. */
const NEAR_K = 3
/** The range of the data sheet. */
const COLDEST_C = -55
const WARMEST_C = 125

/** A probe on the 1-Wire bus, through the kernel's driver w1_therm. */
export function oneWireProbe(id: string, files: KernelFiles): Source {
  let before_C: number | null = null
  const read = async (): Promise<Sounding> => {
    const { C, isWhole } = await readProbe(id, files)
    const problem = isWhole ? problemOf(C, before_C) : 'its answer was garbled on the wire (CRC)'
    if (problem === null) before_C = C
    return { value: C, unit: '°C', problem: problem === null ? null : `1-Wire probe ${id}: ${problem}` }
  }
  return {
    door: 'one-wire',
    async sound() {
      try {
        return await read()
      } catch (error) {
        const reason = error instanceof Error ? error.message : String(error)
        return { value: null, problem: `1-Wire probe ${id}: ${reason}` }
      }
    },
  }
}

function problemOf(C: number, before_C: number | null): string | null {
  if (C < COLDEST_C || C > WARMEST_C) {
    return `${C} °C is outside of what it can measure: look at its wires`
  }
  if (C === POWER_ON_C && (before_C === null || Math.abs(before_C - C) > NEAR_K)) {
    return '85 °C is what it says when its power has just come back: look at its wires and its supply'
  }
  return null
}

interface ProbeAnswer {
  readonly C: number
  /** Its checksum is right. */
  readonly isWhole: boolean
}

async function readProbe(id: string, files: KernelFiles): Promise<ProbeAnswer> {
  const temperature = await files.read(`${FOLDER}/${id}/temperature`)
  if (temperature !== null && /^-?\d+$/.test(temperature)) {
    return { C: Number(temperature) / 1000, isWhole: true }
  }
  // Older kernels have only this one; and it tells a garbled answer from a missing one.
  const raw = await files.read(`${FOLDER}/${id}/w1_slave`)
  if (raw === null && temperature === null) {
    throw new Error(
      `the kernel does not see it in ${FOLDER}. Look at its wires, its number, and whether 1-Wire is switched on.`,
    )
  }
  const milli = /\bt=(-?\d+)/.exec(raw ?? '')?.[1]
  if (milli === undefined) throw new Error('it gives no answer: look at its wires')
  return { C: Number(milli) / 1000, isWhole: /\bcrc=[0-9a-f]{2} YES\b/.test(raw ?? '') }
}
