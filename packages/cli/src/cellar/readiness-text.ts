import { widthOf } from '@attemper/core/report/text/width.ts'
import { paragraph } from '@attemper/core/report/text/wrap.ts'
import type { DisplayUnits } from '@attemper/core/units/display.ts'
import type { Readiness } from '@attemper/server/http/published.ts'
import type { CellarClient } from '../cellar-client.ts'

/** What must be true before a batch is started in a vessel: of the beer and the plan too, when their texts are given. */
export function askReadiness(
  client: CellarClient,
  vessel: string,
  texts: { readonly beer?: string; readonly plan?: string },
  { temperature, gravity }: DisplayUnits,
): Promise<Readiness> {
  const path = `/vessels/${encodeURIComponent(vessel)}/readiness?temperature=${temperature}&gravity=${gravity}`
  return client.post<Readiness>(path, texts)
}

/** A line for each check: how it stands, what it is about, and why. */
export function checksText(checks: Readiness['checks'], width: number): string {
  const column = Math.max(0, ...checks.map(({ state }) => widthOf(state))) + 2
  return checks
    .map(({ state, title, sentence }) =>
      paragraph(`${title}: ${sentence}`, width, state.padEnd(column), ' '.repeat(column)),
    )
    .join('\n')
}
