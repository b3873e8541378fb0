import { execFile } from 'node:child_process'
import { promisify } from 'node:util'

/** A line of the kernel's GPIO character device. */
export interface GpioSetting {
  /** gpiochip0, or a path below /dev. */
  readonly chip: string
  readonly line: number
  /** The relay board switches on when the line is low. */
  readonly activeLow: boolean
}

export const GPIO_CHIP = /^[A-Za-z0-9_/][\w./-]*$/

/** What to tell gpioset. Without spaces within a word: the guard splits them there. */
export interface GpiosetWords {
  /** Sets the value and holds it until it is ended. */
  hold(on: boolean): readonly string[]
  /** Sets the line to off and ends at once. */
  readonly offOnce: readonly string[]
}

/** The tool of libgpiod has other options since version 2 (manual pages gpioset(1) of 1.6.3 and 2.2.1). */
export function gpiosetWords({ chip, line, activeLow }: GpioSetting, version: number): GpiosetWords {
  const low = activeLow ? ['--active-low'] : []
  const value = (on: boolean) => `${line}=${on ? 1 : 0}`
  return version >= 2
    ? {
        hold: on => [...low, '--chip', chip, value(on)],
        offOnce: [...low, '--toggle', '0', '--chip', chip, value(false)],
      }
    : {
        hold: on => [...low, '--mode=signal', chip, value(on)],
        offOnce: [...low, '--mode=exit', chip, value(false)],
      }
}

/** Rejects with a sentence when it is not there. */
export async function gpiosetVersion(program: string): Promise<number> {
  let said: string
  try {
    said = (await promisify(execFile)(program, ['--version'], { timeout: 5000 })).stdout
  } catch (error) {
    const isMissing = (error as NodeJS.ErrnoException).code === 'ENOENT'
    throw new Error(
      isMissing
        ? `there is no ${program}; it comes with libgpiod (in Debian the package gpiod)`
        : `${program} can not be run: ${(error as Error).message}`,
    )
  }
  const version = /\bv(\d+)\./.exec(said)?.[1]
  if (version === undefined) throw new Error(`${program} does not say its version`)
  return Number(version)
}
