import type { RefusalCode } from '../../doors/report.ts'
import type { MetricFamily } from './open-metrics.ts'

/** What came through the HTTP door since the start. */
export class DoorCounts {
  #stored = 0
  #repeated = 0
  readonly #refused = new Map<RefusalCode, number>()

  count(stored: number, repeated: number, refused: readonly { readonly code: RefusalCode }[]): void {
    this.#stored += stored
    this.#repeated += repeated
    for (const { code } of refused) this.#refused.set(code, (this.#refused.get(code) ?? 0) + 1)
  }

  families(): readonly MetricFamily[] {
    return [
      {
        name: 'attemper_http_readings',
        type: 'counter',
        help: 'Readings that came by HTTP, by what became of them.',
        samples: [
          { labels: { outcome: 'stored' }, value: this.#stored },
          { labels: { outcome: 'repeated' }, value: this.#repeated },
        ],
      },
      {
        name: 'attemper_http_readings_refused',
        type: 'counter',
        help: 'Readings that came by HTTP and were refused, by reason.',
        samples: [...this.#refused].map(([code, value]) => ({ labels: { code }, value })),
      },
    ]
  }
}
