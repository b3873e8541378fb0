import type { Supposition } from './recorded.ts'

/**
 * The recorded fermentations, and what is supposed about each. Temperatures stand in the record where none is given here;
 * others are nominal (Pedersen, Haecker, Anthon) or guesses of a cellar or laboratory of the time (Hansen, Oppmann, pomace).
 */
export const SUPPOSITIONS: readonly Supposition[] = [
  { file: 'sduk1829-scotch-ale', yeastClass: 'ale', final: { value: 1.036, sd: 0.006 } },
  { file: 'black1849-second-ale', yeastClass: 'ale', final: { value: 1.0245, sd: 0.002 } },
  {
    file: 'pedersen1878-cold-still',
    yeastClass: 'lager',
    temperature_C: 7,
    final: { value: 1.016, sd: 0.004 },
  },
  {
    file: 'pedersen1878-warm-a',
    yeastClass: 'lager',
    temperature_C: 13.5,
    final: { value: 1.013, sd: 0.003 },
  },
  {
    file: 'pedersen1878-warm-c',
    yeastClass: 'lager',
    temperature_C: 13.5,
    final: { value: 1.016, sd: 0.004 },
  },
  {
    file: 'hansen1879-1-still',
    yeastClass: 'lager',
    temperature_C: 18,
    final: { value: 1.015, sd: 0.003 },
  },
  {
    file: 'hansen1879-2-aerated',
    yeastClass: 'lager',
    temperature_C: 18,
    final: { value: 1.0155, sd: 0.001 },
  },
  {
    file: 'haecker1864-pitched',
    yeastClass: 'lager',
    temperature_C: 18.1,
    final: { value: 1.0205, sd: 0.001 },
    until_h: 180,
  },
  { file: 'ure1837-grain-1', yeastClass: 'ale', final: { value: 1.0115, sd: 0.001 } },
  { file: 'fischern1847-must-1', yeastClass: 'ale', final: { value: 0.9955, sd: 0.0015 } },
  {
    file: 'oppmann1856-leisten',
    yeastClass: 'ale',
    temperature_C: 16,
    final: { value: 0.9995, sd: 0.002 },
  },
  { file: 'balling-potato-mash-1', yeastClass: 'ale', final: { value: 1.0035, sd: 0.001 } },
  {
    file: 'anthon1859-glucose',
    yeastClass: 'ale',
    temperature_C: 23.8,
    final: { value: 0.9875, sd: 0.002 },
  },
  { file: 'anthon1859-cane', yeastClass: 'ale', temperature_C: 23.8, final: { value: 1.017, sd: 0.003 } },
  {
    file: 'anthon1859-cane-tartar',
    yeastClass: 'ale',
    temperature_C: 23.8,
    final: { value: 1.025, sd: 0.003 },
  },
  {
    file: 'anthon1860-pomace-crude',
    yeastClass: 'ale',
    temperature_C: 18,
    final: { value: 1.0375, sd: 0.001 },
  },
]
