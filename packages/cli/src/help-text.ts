import { paragraph } from '@attemper/core/report/text/wrap.ts'
import type { Command, CommandGroup } from './command.ts'
import { optionsOf, usageLine } from './command-line.ts'

const NAME_COLUMN = 24

/** The help of one command: usage, what it does, arguments, options, exit statuses, examples. */
export function commandHelp(command: Command, width: number): string {
  const entry = (name: string, about: string) => {
    const first = `  ${name.padEnd(NAME_COLUMN - 2)}`
    const hanging = ' '.repeat(NAME_COLUMN)
    return name.length > NAME_COLUMN - 3
      ? `  ${name}\n${paragraph(about, width, hanging)}`
      : paragraph(about, width, first, hanging)
  }
  const statuses = [
    ['0', command.statuses.good],
    ...(command.statuses.bad === undefined ? [] : [['1', command.statuses.bad]]),
    ['2', 'a file can not be read or written, no cellar answers, or the command line is wrong'],
    ['3', 'a fault of attemper itself'],
  ] as const
  return [
    paragraph(`Usage: ${usageLine(command)}`, width, '', '    '),
    '',
    paragraph(command.summary, width),
    '',
    ...command.arguments.map(each => entry(each.name, each.about)),
    '',
    'Options',
    ...optionsOf(command).map(option =>
      entry(`--${option.name}${option.value === undefined ? '' : ` ${option.value}`}`, option.about),
    ),
    '',
    'Exit status',
    ...statuses.map(([status, meaning]) => entry(status!, meaning!)),
    '',
    'Examples',
    ...command.examples.map(example => `  ${example}`),
    '',
  ].join('\n')
}

/** The help of the whole program. */
export function programHelp(groups: readonly CommandGroup[], width: number): string {
  return [
    paragraph(
      'Attemper rehearses, runs and learns from beer fermentations in vessels that you warm and chill yourself.',
      width,
    ),
    '',
    'Usage: attemper COMMAND [options]',
    '',
    ...groups.flatMap(({ title, commands }) => [
      title,
      ...commands.map(command =>
        paragraph(command.summary, width, `  ${command.name.padEnd(10)}`, ' '.repeat(12)),
      ),
      '',
    ]),
    paragraph('attemper COMMAND --help explains one command; attemper --version says which this is.', width),
    '',
    'To begin',
    '  attemper new my-first-batch --yes',
    '  attemper rehearse my-first-batch/plan.yaml \\',
    '    --vessel my-first-batch/vessel.yaml --beer my-first-batch/beer.yaml',
    '',
  ].join('\n')
}
