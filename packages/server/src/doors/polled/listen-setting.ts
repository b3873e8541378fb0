import type { RegisterSetting } from '../modbus/register.ts'

/** Where an instrument is read that does not speak by itself. `quantity`: needed when it measures several. */
export type ListenSetting = { readonly quantity?: string } & (
  | { readonly kind: 'one-wire'; readonly id: string }
  | { readonly kind: 'hwmon'; readonly input: string }
  | { readonly kind: 'modbus'; readonly register: RegisterSetting; readonly unit?: string }
)
