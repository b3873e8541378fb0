import type { Command } from '@attemper/core/engine/contract.ts'
import type { Clock } from '../../live/clock.ts'
import type { Timers } from '../../live/timers.ts'
import type { ApplianceDoor } from '../appliance-door.ts'
import { type ModbusAddress, readRegisters, writeRegisters } from './modbus-tcp.ts'
import { type NumberType, wordsOf } from './register.ts'

export interface TargetRegisterSetting extends ModbusAddress {
  /** A holding register, counted from 0; the first of two for a type of 32 bits. */
  readonly register: number
  readonly type: NumberType
  readonly lowWordFirst: boolean
  /** The number in the register times this is the target in °C. */
  readonly scale: number
  /** A register holds no "off": this is written for it, °C. */
  readonly off_C: number
}

const RETRY_MS = 5000
/** As for a plain switch: nobody is there to do it later, but a cellar that ends can not wait for ever. */
const TRIES_AT_END = 12

const NOTHING = () => undefined

/**
 * The target of a thermostat in a register. It knows nothing of leases and keeps its number, also when the cellar is gone;
 * so what stands for "off" is written again and again until it has worked. Many devices keep what is written in a memory
 * that wears out, so a renewal only looks whether the target still stands there.
 */
export function targetRegister(
  setting: TargetRegisterSetting,
  clock: Clock,
  timers: Timers,
  within_ms?: number,
): ApplianceDoor {
  const { host, port, unit, register, type, scale, off_C, lowWordFirst } = setting
  const called = `holding register ${register} of unit ${unit} at ${host}:${port}`
  let highest = Number.NEGATIVE_INFINITY
  let isOffMissing = false
  let isClosed = false
  let callOffRetry: () => void = NOTHING
  let work: Promise<unknown> = Promise.resolve()

  /** One after the other: what was read must still stand there when it is decided whether to write. */
  const bring = (target_C: number | null): Promise<string | null> => {
    const words = wordsOf((target_C ?? off_C) / scale, type)
    if (words === null) {
      return Promise.resolve(`${target_C ?? off_C} °C does not fit into it with a scale of ${scale}`)
    }
    callOffRetry()
    callOffRetry = NOTHING
    isOffMissing = target_C === null
    const mine = work.then(async () => {
      try {
        await writeWhereOther(lowWordFirst ? words.toReversed() : words)
        if (target_C === null) isOffMissing = false
        return null
      } catch (error) {
        if (isOffMissing && !isClosed) {
          callOffRetry()
          callOffRetry = timers.set(clock.now_ms() + RETRY_MS, () => void bring(null))
        }
        return error instanceof Error ? error.message : String(error)
      }
    })
    work = mine
    return mine
  }

  const writeWhereOther = async (words: readonly number[]): Promise<void> => {
    // A device that does not let its register be read is written to each time.
    const now = await readRegisters(setting, 'holding', register, words.length, within_ms).catch(() => null)
    if (now?.every((word, index) => word === words[index])) return
    await writeRegisters(setting, register, words, within_ms)
  }

  return {
    async send(command: Command) {
      const { fence } = command
      if (command.appliance !== 'thermostat') {
        return { sent: false, problem: `${called}: it is for the target of a thermostat` }
      }
      if (isClosed) return { sent: false, problem: `${called}: its door is closed` }
      if (fence < highest) {
        return { sent: false, problem: `${called}: the fencing number ${fence} is lower than ${highest}` }
      }
      highest = fence
      const problem = await bring(command.target_C)
      return problem === null
        ? { sent: true, problem: null, confirmed: 'answer' }
        : { sent: false, problem: `${called}: ${problem}` }
    },
    mustAsk: () => true,
    async close() {
      isClosed = true
      callOffRetry()
      await work
      let problem: string | null = null
      for (let tries = 0; isOffMissing && tries < TRIES_AT_END; tries++) {
        if (tries > 0) {
          await new Promise<void>(resolve => timers.set(clock.now_ms() + RETRY_MS, resolve))
        }
        problem = await bring(null)
      }
      if (problem === null) return
      throw new Error(`${called} could not be set to off at the end (${problem}): look at the thermostat.`)
    },
  }
}
