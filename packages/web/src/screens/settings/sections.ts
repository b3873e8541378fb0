/** The parts of the settings, as they stand in the address and in the list of links. */
export const SECTIONS = [
  { name: 'reading', title: 'How you read things' },
  { name: 'alarms', title: 'Alarms' },
  { name: 'people', title: 'People and tokens' },
  { name: 'vessels', title: 'Vessels and instruments' },
  { name: 'records', title: 'Records' },
] as const

export type SectionName = (typeof SECTIONS)[number]['name']
