import type { ApplianceName } from '@attemper/core/engine/events.ts'
import type { Clock } from '../../live/clock.ts'
import { type Timers, timersOf } from '../../live/timers.ts'
import type { ApplianceDoor } from '../appliance-door.ts'
import type { ApplianceSetting, DoorSettings, ThermostatSetting } from '../door-settings.ts'
import { gpioLine } from '../gpio/gpio-line.ts'
import { modbusCoil } from '../modbus/coil.ts'
import { targetRegister } from '../modbus/target-register.ts'
import type { MqttDoor } from '../mqtt/mqtt-door.ts'
import { httpAppliance } from './http-appliance.ts'
import { leasedSwitch } from './leased-switch.ts'
import { mqttAppliance } from './mqtt-appliance.ts'

/** Nothing is switched: for a vessel that is only watched, or an appliance that the brewer switches by hand. */
export const NO_APPLIANCE: ApplianceDoor = {
  send: async () => ({ sent: true, problem: null }),
  close: async () => undefined,
}

/** The door of a vessel, which sends each command to where the settings say that its appliance is. */
export function vesselAppliances(
  vessel: string,
  settings: DoorSettings,
  mqtt: Pick<MqttDoor, 'publish'>,
  clock: Clock,
  timers: Timers = timersOf(clock),
): ApplianceDoor {
  const doorOf = (setting: ApplianceSetting | ThermostatSetting): ApplianceDoor => {
    switch (setting.kind) {
      case 'mqtt':
        return mqttAppliance(vessel, mqtt, clock)
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
    heater: doorOf(settings.heater),
    cooler: doorOf(settings.cooler),
    thermostat: doorOf(settings.thermostat),
  }
  return {
    send: command => doors[command.appliance].send(command),
    async close() {
      const closed = await Promise.allSettled(Object.values(doors).map(door => door.close()))
      for (const each of closed) if (each.status === 'rejected') throw each.reason
    },
  }
}
