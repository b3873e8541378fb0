import type { Command } from '@attemper/core/engine/contract.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import type { ApplianceDoor } from '../doors/appliance-door.ts'

/**
 * Tells all appliances of a vessel to be off, once, for a batch that nobody keeps: a plain relay would stay as the latest
 * command has left it. A vessel that cannot be read (null) may have both, a heater and a cooler. Resolves with what kept some of them from hearing it; empty: nothing. Never rejects.
 */
export async function tellOff(
  vessel: Vessel | null,
  door: ApplianceDoor,
  lease: { readonly until_s: number; readonly fence: number },
): Promise<readonly string[]> {
  const commands: Command[] = []
  if (vessel?.heater !== undefined || vessel === null) {
    commands.push({ appliance: 'heater', on: false, ...lease })
  }
  if (vessel?.cooler !== undefined || vessel === null) {
    commands.push({ appliance: 'cooler', on: false, ...lease })
  }
  if (vessel?.thermostat !== undefined) {
    commands.push({ appliance: 'thermostat', target_C: null, ...lease })
  }
  const answers = await Promise.allSettled(commands.map(command => door.send(command)))
  const closed = await door.close().then(
    () => null,
    (error: unknown) => String(error),
  )
  const problems = answers.map(answer =>
    answer.status === 'rejected' ? String(answer.reason) : answer.value.problem,
  )
  return [...problems, closed].filter(problem => problem !== null)
}
