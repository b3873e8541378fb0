import type { ApplianceName } from '@attemper/core/engine/events.ts'
import type { Clock } from '../../live/clock.ts'
import { type Timers, timersOf } from '../../live/timers.ts'
import type { ApplianceDoor } from '../appliance-door.ts'
import type { ApplianceSetting, DoorSettings, ThermostatSetting } from '../door-settings.ts'
import { gpioLine } from '../gpio/gpio-line.ts'
import { modbusCoil } from '../modbus/coil.ts'
import { targetRegister } from '../modbus/target-register.ts'
import { httpAppliance } from './http-appliance.ts'
import { leasedSwitch } from './leased-switch.ts'
import { type ApplianceBroker, mqttAppliance } from './mqtt-appliance.ts'

/** Nothing is switched: for a vessel that is only watched, or an appliance that the brewer switches by hand. */
export const NO_APPLIANCE: ApplianceDoor = {
  send: async () => ({ sent: true, problem: null, cannotKnow: true }),
  close: async () => undefined,
}

/** The door of a vessel, which sends each command to where the settings say that its appliance is. */
export function vesselAppliances(
  vessel: string,
  settings: DoorSettings,
  mqtt: ApplianceBroker,
  clock: Clock,
  timers: Timers = timersOf(clock),
): ApplianceDoor {
  const doorOf = (appliance: ApplianceName, setting: ApplianceSetting | ThermostatSetting): ApplianceDoor => {
    switch (setting.kind) {
      case 'mqtt':
        return mqttAppliance(vessel, appliance, mqtt, clock)
      case 'http':
        return httpAppliance(setting.url, clock)
      case 'modbus':
        return leasedSwitch(modbusCoil(setting.coil), clock, timers)
      case 'register':
        return targetRegister(setting.register, clock, timers)
      case 'gpio':
        return leasedSwitch(gpioLine(setting.line), clock, timers)
      case 'none':
        return NO_APPLIANCE
    }
  }
  const doors: Readonly<Record<ApplianceName, ApplianceDoor>> = {
    heater: doorOf('heater', settings.heater),
    cooler: doorOf('cooler', settings.cooler),
    thermostat: doorOf('thermostat', settings.thermostat),
  }
  return {
    send: command => doors[command.appliance].send(command),
    listen(listener) {
      const stops = Object.values(doors).map(door => door.listen?.(listener))
      return () => {
        for (const stop of stops) stop?.()
      }
    },
    switches: appliance => settings[appliance].kind !== 'none',
    mustAsk: appliance => doors[appliance].mustAsk?.(appliance) ?? false,
    async close() {
      const closed = await Promise.allSettled(Object.values(doors).map(door => door.close()))
      for (const each of closed) if (each.status === 'rejected') throw each.reason
    },
  }
}
