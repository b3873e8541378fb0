import { nameOf } from '../access/guard.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { problemsOfChange } from '../schemas.ts'
import { PastReadings, Receipt } from './reading-schemas.ts'

/**
 * POST /readings/past: a log that was kept elsewhere. Apart from the door of instruments, because no device may send what
 * is years old: its clock would be wrong. The cellar keeps the record of it.
 */
export function pastReadingRoutes(app: HttpApp, { cellar }: HttpParts): void {
  app.post(
    '/readings/past',
    {
      schema: {
        summary: 'Hand in past readings',
        description:
          'A part of a log that was kept elsewhere, however old. What is there already is not stored twice: the first value ' +
          'stays. No batch is told of what lies before it. Refused when readings are from the time of the batch that runs ' +
          'in the vessel, unless they are meant for it. Needs a brewer; a device’s token does not do.',
        tags: ['readings'],
        body: PastReadings,
        response: { 200: Receipt, ...problemsOfChange('unknown-vessel', 'vessel-busy') },
      },
    },
    async request => {
      const { vessel, readings, toBatch = false } = request.body
      const reports = readings.map(reading => ({ ...reading, vessel, status: 'good' as const }))
      return cellar.acceptPast(vessel, reports, toBatch, nameOf(request))
    },
  )
}
