import { may, need, record } from '@attemper/core/source-text/record.ts'
import type { Shape } from '@attemper/core/source-text/shape.ts'
import { flag } from '@attemper/core/source-text/value-shapes.ts'
import { pattern, whole } from '../word-shapes.ts'
import { GPIO_CHIP, type GpioSetting } from './gpioset.ts'

const gpioRecord = record(
  {
    chip: may(pattern('a GPIO chip', GPIO_CHIP, 'gpiochip0'), 'The chip of the line.', 'gpiochip0'),
    line: need(whole(0, 1023), 'The line, as gpioinfo numbers it.'),
    'active low': may(flag, 'Whether the relay board switches on when the line is low.', 'false'),
  },
  { called: 'a line of a GPIO chip', example: '{ chip: gpiochip0, line: 17 }' },
)

export const gpioShape: Shape<GpioSetting> = {
  schema: gpioRecord.schema,
  read: (node, reading) => {
    const values = gpioRecord.read(node, reading)?.values
    if (values?.line === undefined) return undefined
    return { chip: values.chip ?? 'gpiochip0', line: values.line, activeLow: values['active low'] ?? false }
  },
}
