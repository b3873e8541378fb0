import type { CommandOption } from '../command.ts'

/** How a person says which column of a CSV file means what; `readWishes` reads them. */
export const COLUMN_OPTIONS: readonly CommandOption[] = [
  { name: 'time', value: 'COLUMN', about: 'the column of the time (usually found by its name)' },
  {
    name: 'time-unit',
    value: 'UNIT',
    about: 'h, min, s or d since pitching; iso, dmy or mdy dates; unix or unix-ms',
  },
  { name: 'beer-column', value: 'COLUMN[:UNIT]', about: 'beer temperature, in °C, °F, K or °Ré' },
  { name: 'air-column', value: 'COLUMN[:UNIT]', about: "temperature of the cabinet's air" },
  {
    name: 'gravity-column',
    value: 'COLUMN[:UNIT]',
    about: 'gravity, in SG, °P, points (48), thousandths (1048) or °Bx of a refractometer',
  },
  {
    name: 'quantity',
    value: 'NAME=COLUMN[:UNIT]',
    about: 'any other quantity that the vessel measures',
    repeated: true,
  },
  {
    name: 'instrument',
    value: '[QUANTITY=]NAME',
    about: "the vessel's instrument that a column stands for (usually the most trusted one)",
    repeated: true,
  },
  { name: 'separator', value: 'CHARACTER', about: 'comma, semicolon or tab (usually found by itself)' },
  {
    name: 'mapping',
    value: 'FILE',
    about: 'a YAML file that says all this: time, time unit, separator, columns',
  },
]
