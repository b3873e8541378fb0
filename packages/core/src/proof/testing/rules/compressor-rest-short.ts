import { compressorRestShort } from '../../rules/compressor-rest-short.ts'
import { change, VESSEL, withThermostat } from '../cases.ts'
import { provesRule } from '../proves-rule.ts'

const resting = (rest: string) => change(VESSEL, ['rests at least: 5 min', `rests at least: ${rest}`])

provesRule(
  compressorRestShort,
  [{ because: '2 min', vessel: resting('2 min'), marks: ['warning: power: 120 W'] }],
  [
    { because: 'a thermostat does its own switching', vessel: withThermostat('{}', resting('2 min')) },
    { because: '3 min', vessel: resting('3 min') },
    {
      because: 'a coil in the beer needs no rest',
      vessel: change(resting('2 min'), ['to air: 8 W/°C', 'to beer: 8 W/°C']),
    },
  ],
)
