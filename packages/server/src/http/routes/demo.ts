import { HttpProblem } from '../errors.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { problemsOfChange } from '../schemas.ts'
import { DemoAddress } from './demo-schema.ts'

/** POST /demo: from an empty cellar to a full one, with one click. */
export function demoRoutes(app: HttpApp, { demo, access, cellar }: HttpParts): void {
  app.post(
    '/demo',
    {
      config: { change: 'opened a demonstration beside this cellar' },
      schema: {
        summary: 'Open a demonstration beside this cellar',
        description:
          'Three simulated vessels with a batch each, on a fast clock, as a process of its own with records of its own; they ' +
          'are thrown away when this cellar ends. Only for a cellar on this machine alone that has no vessel yet. Asked a ' +
          'second time it is the same one.',
        tags: ['cellar'],
        response: { 200: DemoAddress, ...problemsOfChange('no-demo') },
      },
    },
    async () => {
      if (demo === undefined || !access.open) {
        throw new HttpProblem('no-demo', 'This cellar is open to a network; a demonstration would be too.', {
          cure: 'Say “attemper serve --demo” on the machine at which you sit.',
        })
      }
      if (!demo.isRunning && cellar.vessels().length > 0) {
        throw new HttpProblem('no-demo', 'This cellar has vessels of its own.', {
          cure: 'Say “attemper serve --demo --port 0 --mqtt-port 0” in a terminal.',
        })
      }
      return { url: await demo.start() }
    },
  )
}
