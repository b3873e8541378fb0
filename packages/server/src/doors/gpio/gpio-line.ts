import type { PlainSwitch } from '../appliance/leased-switch.ts'
import { type GpioSetting, gpiosetVersion, gpiosetWords } from './gpioset.ts'
import { HeldLine } from './held-line.ts'

export interface GpioParts {
  readonly program: string
  /** How long a program that can not have the line may take to say so. */
  readonly settle_ms: number
}

const USUAL: GpioParts = { program: 'gpioset', settle_ms: 500 }

/**
 * A relay on a line of the machine itself. The line is held by a program of its own, both while it is on and while it is
 * off, so that it never floats; that program switches it off when the cellar dies.
 */
export function gpioLine(setting: GpioSetting, { program, settle_ms }: GpioParts = USUAL): PlainSwitch {
  let version: number | null = null
  let held: HeldLine | null = null
  return {
    called: `line ${setting.line} of ${setting.chip}`,
    async set(on) {
      if (held?.isHeld && held.on === on) return
      await held?.release()
      held = null
      version ??= await gpiosetVersion(program)
      const words = gpiosetWords(setting, version)
      const next = new HeldLine(on, program, words.hold(on), words.offOnce)
      await next.settled(settle_ms)
      held = next
    },
    async close() {
      await held?.release()
      held = null
    },
  }
}
