import type { ExitStatus } from './exit-status.ts'
import type { Io } from './io.ts'

/** One option of a command. `value` is the word for its value in the help; without it the option is a switch. */
export interface CommandOption {
  readonly name: string
  readonly value?: string
  readonly about: string
  readonly repeated?: boolean
}

export interface CommandArgument {
  readonly name: string
  readonly about: string
  /** May be left out; only at the end. */
  readonly optional?: boolean
}

/** The command line after reading: every option is known to exist. */
export interface Given {
  /** In the order of `Command.arguments`; all that are not optional are there. */
  readonly arguments: readonly string[]
  /** All the words after the command's name, to be said again in the command that repeats a rehearsal. */
  readonly words: readonly string[]
  switch(name: string): boolean
  text(name: string): string | undefined
  texts(name: string): readonly string[]
  /** A whole number within bounds; `usual` when the option is left out. */
  count(name: string, usual: number, least: number, most: number): number
}

export interface Command {
  readonly name: string
  /** Another word for the same. */
  readonly alias?: string
  readonly summary: string
  readonly arguments: readonly CommandArgument[]
  readonly options: readonly CommandOption[]
  /** Options without which the command can not work. */
  readonly needs: readonly string[]
  readonly examples: readonly string[]
  /** What the exit statuses 0 and 1 mean here. */
  readonly statuses: { readonly good: string; readonly bad?: string }
  run(given: Given, io: Io): Promise<ExitStatus>
}

/** Commands that belong together, under a heading of the help. */
export interface CommandGroup {
  readonly title: string
  readonly commands: readonly Command[]
}

export const JSON_OPTION: CommandOption = {
  name: 'json',
  about: 'data on standard output, and nothing else there',
}

export const UNIT_OPTIONS: readonly CommandOption[] = [
  { name: 'units', value: 'LIST', about: 'units to read, such as °F,°P,gal (usually °C,SG,L)' },
  { name: 'fahrenheit', about: 'the same as --units °F' },
  { name: 'plato', about: 'the same as --units °P' },
]

export const VESSEL_OPTION: CommandOption = { name: 'vessel', value: 'FILE', about: 'the vessel file' }
export const BEER_OPTION: CommandOption = { name: 'beer', value: 'FILE', about: 'the beer file' }
export const PLAN_ARGUMENT: CommandArgument = { name: 'PLAN', about: 'the plan file (YAML or JSON)' }
