import type { PlainSwitch } from '../appliance/leased-switch.ts'
import { type ModbusAddress, writeCoil } from './modbus-tcp.ts'

export interface CoilSetting extends ModbusAddress {
  /** Counted from 0. */
  readonly coil: number
}

/** A coil keeps its state when the cellar dies, unless its device has a watchdog of its own. */
export function modbusCoil(setting: CoilSetting, within_ms?: number): PlainSwitch {
  const { host, port, unit, coil } = setting
  return {
    called: `coil ${coil} of unit ${unit} at ${host}:${port}`,
    set: on => writeCoil(setting, coil, on, within_ms),
    close: async () => undefined,
  }
}
