import type { Command } from '../../engine/contract.ts'
import type { World } from '../world.ts'

/** A plain thermostat on channel 0, for tests that need the relays to switch: 0.3 K of hysteresis, leases of 15 min. */
export function runThermostat(world: World, target_C: number, until_s: number): void {
  const nothing = Number.NEGATIVE_INFINITY
  let heat = false
  let cool = false
  let fence = 0
  let leaseAt_s = 0
  let latest_C = target_C
  while (world.now_s < until_s) {
    for (const { channel, value } of [...world.skipped(), ...world.readingsAt(world.now_s)]) {
      if (channel === 0) latest_C = value
    }
    const wantHeat: boolean = heat ? latest_C < target_C : latest_C <= target_C - 0.3
    const wantCool: boolean = cool ? latest_C > target_C : latest_C >= target_C + 0.3
    const commands: Command[] = []
    if (wantHeat !== heat || wantCool !== cool || world.now_s >= leaseAt_s) {
      heat = wantHeat
      cool = wantCool
      leaseAt_s = world.now_s + 450
      const until_s = world.now_s + 900
      commands.push({ appliance: 'heater', on: heat, until_s, fence: ++fence })
      commands.push({ appliance: 'cooler', on: cool, until_s, fence: ++fence })
    }
    world.apply(commands)
    const lower = heat ? nothing : cool ? target_C : target_C - 0.3
    const upper = heat ? target_C : cool ? Number.POSITIVE_INFINITY : target_C + 0.3
    const stands = { until_s: leaseAt_s, lower: [lower], upper: [upper], silence_s: [240] }
    world.seek(stands, until_s)
  }
}
