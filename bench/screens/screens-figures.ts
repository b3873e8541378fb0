import type { Figure } from '../figure.ts'
import { BenchCellar, inFolder } from '../live/bench-cellar.ts'
import { inBrowser } from './bench-browser.ts'
import { firstPicture } from './first-picture.ts'
import { keystrokes } from './keystroke.ts'
import { writeYearBatch } from './year-batch.ts'
import { yearDragged } from './year-dragged.ts'

/** The figures of the screens as they were built last, in a real browser, with a real cellar that keeps a year of readings. */
export function screensSections(): readonly (() => Promise<readonly Figure[]>)[] {
  return [
    () =>
      inFolder(async folder => {
        const batch = await writeYearBatch(folder)
        return BenchCellar.run(folder, ({ url }) =>
          inBrowser(async browser => [
            ...(await firstPicture(browser, {
              name: 'Cellar',
              address: `${url}/`,
              picture: 'figure svg path.measured',
            })),
            ...(await firstPicture(browser, {
              name: 'Rehearse',
              address: `${url}/#/rehearse`,
              picture: '.chart canvas',
            })),
            ...(await firstPicture(browser, {
              name: 'Batch, with a year of readings',
              address: `${url}/#/batch/${batch}`,
              picture: '[aria-label*="measured between"] canvas',
            })),
            ...(await keystrokes(browser, `${url}/#/rehearse`)),
            ...(await yearDragged(browser, `${url}/#/batch/${batch}`)),
          ]),
        )
      }),
  ]
}
