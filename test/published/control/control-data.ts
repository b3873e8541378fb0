import { readFileSync } from 'node:fs'
import { join } from 'node:path'

interface Pi {
  readonly Kc: number
  readonly Ti: number
}

interface Performance {
  readonly Ms: number
  readonly IE_load_exact_Ti_over_Kc: number
  readonly IAE_load_sim: number
  readonly IAE_setpoint_sim: number
  readonly overshoot_setpoint_pct_sim: number
}

export interface FirstOrderCase {
  readonly name: string
  readonly process: { readonly K: number; readonly T: number; readonly L: number }
  readonly rules: {
    readonly simc: { readonly tau_c: number; readonly PI: Pi }
    readonly amigo_step: { readonly PI: Pi; readonly PID: Pi & { readonly Td: number } }
    readonly lambda_T: { readonly lambda: number; readonly PI: Pi }
    readonly lambda_3L: { readonly lambda: number; readonly PI: Pi }
    readonly ultimate_exact: { readonly Ku: number }
  }
  readonly performance: Readonly<Record<string, Performance>>
}

interface SimcSettings {
  readonly theta: number
  readonly tau1: number | null
  readonly tau2: number
  readonly Kc: number
  readonly tauI: number
  readonly tauD: number
  readonly Ms: number
}

export interface Inputs {
  readonly Y_on: number
  readonly Y_off: number
  readonly T: number
  readonly L: number
  readonly lo: number
  readonly hi: number
}

interface Cycle {
  readonly y_max: number
  readonly y_min: number
  readonly t_on: number
  readonly t_off: number
  readonly period: number
  readonly duty: number
  readonly mean: number
}

interface RelayCase {
  readonly inputs: {
    readonly K: number
    readonly T: number
    readonly L: number
    readonly d: number
    readonly eps: number
  }
  readonly a: number
  readonly period: number
  readonly Ku_df_hysteresis: number
}

interface ControlData {
  readonly pid: {
    readonly first_order_cases: readonly FirstOrderCase[]
    readonly integrating_case: {
      readonly process: { readonly kprime: number; readonly L: number }
      readonly 'simc_PI_tauc=L': Pi & { readonly Ms: number }
      readonly amigo_PI: Pi & { readonly Ms: number }
      readonly amigo_PID: Pi & { readonly Td: number }
      readonly 'lambda_PI_lambda=3L': Pi & { readonly lambda: number; readonly Ms: number }
    }
    readonly simc_examples: Readonly<
      Record<string, { readonly PI: SimcSettings; readonly PID_series?: SimcSettings }>
    >
    readonly simc_robustness: Readonly<Record<string, { readonly Ms: number }>>
    readonly series_to_ideal: {
      readonly example_E4_PID: {
        readonly series: { readonly Kc: number; readonly tauI: number; readonly tauD: number }
        readonly ideal: Pi & { readonly Td: number }
      }
    }
  }
  readonly on_off: {
    readonly [heating in
      | 'heat_60min_deadtime2'
      | 'heat_no_deadtime'
      | 'heat_no_hysteresis'
      | 'fermenter_pad']: {
      readonly inputs: Inputs
      readonly exact: Cycle
      readonly constant_slope_approximation: {
        readonly slope_up: number
        readonly slope_down: number
        readonly y_max: number
        readonly y_min: number
        readonly period: number
      }
    }
  } & {
    readonly relay_symmetric_fopdt: readonly RelayCase[]
    readonly relay_biased_fopdt: {
      readonly inputs: {
        readonly K: number
        readonly T: number
        readonly L: number
        readonly d_plus: number
        readonly d_minus: number
        readonly eps: number
      }
      readonly y_max: number
      readonly y_min: number
      readonly t_on: number
      readonly t_off: number
      readonly mean: number
    }
    readonly relay_integrator: {
      readonly example: {
        readonly k: number
        readonly L: number
        readonly d: number
        readonly eps: number
        readonly a: number
        readonly period: number
      }
    }
    readonly two_time_constants: readonly {
      readonly inputs: Omit<Inputs, 'T'> & { readonly T1: number; readonly T2: number }
      readonly exact: Cycle
    }[]
    readonly relay_symmetric_two_lags: readonly {
      readonly inputs: {
        readonly K: number
        readonly T1: number
        readonly T2: number
        readonly L: number
        readonly d: number
        readonly eps: number
      }
      readonly period: number
      readonly amplitude: number
    }[]
    readonly min_off_time: readonly {
      readonly inputs: {
        readonly Y_cool: number
        readonly Y_amb: number
        readonly T: number
        readonly lo: number
        readonly hi: number
        readonly M_off: number
        readonly M_on: number
      }
      readonly natural_t_off: number
      readonly natural_t_on: number
      readonly t_off: number
      readonly t_on: number
      readonly y_high: number
      readonly y_low: number
      readonly starts_per_h: number
    }[]
    readonly two_point: {
      readonly fractions_exact: readonly [number, number]
      readonly 'T1=100,T2=20,L=10': {
        readonly t28: number
        readonly t63: number
        readonly T: number
        readonly L: number
      }
      readonly 'identity_check_FOPDT T=100 L=20': {
        readonly t28: number
        readonly t63: number
        readonly T: number
        readonly L: number
      }
    }
  }
}

/** The check values of test/published/data/control.json; their sources stand in control.README.md beside it. */
export const CONTROL = JSON.parse(
  readFileSync(join(import.meta.dirname, '..', 'data', 'control.json'), 'utf8'),
) as ControlData

/** As many digits as the table shows: relative, since its values go from 1e-3 to 1e5. */
export function relativeError(found: number, expected: number): number {
  return Math.abs(found - expected) / Math.max(Math.abs(expected), 1e-12)
}
