/**
 * Every code that the readers of plans, vessels and beers give to a finding, with one sentence of explanation. The
 * reference of error codes is made from this table.
 */
export const READER_CODES = {
  'too-large': 'The text is longer than a million characters; a plan has a few thousand.',
  'not-text':
    'The file holds characters that no text has, or was saved in another encoding than UTF-8, so that letters are lost.',
  'too-deep': 'Mappings and lists stand within one another deeper than any plan needs.',
  'too-many': 'A list or the whole text has more entries than can be meant.',
  'too-many-aliases': 'The text refers back to its anchors (* and &) more often than any plan needs.',
  'unknown-alias': 'An alias (*name) refers to an anchor (&name) that does not stand before it.',
  'yaml-syntax': 'The text is not valid YAML 1.2, so that its parts cannot be told apart.',
  'wrong-type': 'A text stands where a mapping or a list belongs, or the other way round.',
  'duplicate-key': 'The same key stands twice in one mapping.',
  'unknown-key': 'A key that has no meaning in this place, often a misspelt one.',
  'missing-key': 'Something that must be said is not said.',
  'conflicting-keys':
    'Two keys stand together that exclude each other, such as a ramp over a time and at a rate.',
  'missing-value': 'A key without anything behind it.',
  'not-a-number': 'A text stands where a number belongs, or a number that is not finite.',
  'decimal-comma': 'A number with a decimal comma; numbers are written with a point.',
  'missing-unit': 'A number without its unit, which is never guessed.',
  'misspelt-unit': 'A unit that is probably misspelt.',
  'wrong-unit': 'A unit that does not belong to this sort of quantity, or to none.',
  negative: 'A negative value for something that has no negative values.',
  'out-of-range': 'A value that cannot be meant, because it lies far outside of what is possible.',
  'calendar-duration': 'A time in months or years, whose length depends on the calendar.',
  'bad-duration': 'A time whose parts do not fit together.',
  'bad-date': 'Not a local date and time such as 2026-12-01T18:00.',
  'bad-time-of-day': 'Not a time of day such as 08:00.',
  'not-a-choice': 'A word that is none of those that can stand here.',
  'bad-name': 'A name that is empty, too long, or reserved for something else; or an address that is none.',
  'reversed-range': 'A lowest value that is not below the highest.',
  'reversed-hysteresis': 'An appliance that would stop before it starts.',
  'duplicate-stage': 'Two stages of the same name, so that a `go to` would not know which one is meant.',
  'unknown-stage': 'A stage is named that the plan does not have.',
  'duplicate-task': 'Two tasks of the same name, so that `done` would not know which one is meant.',
  'unknown-task': 'A condition waits for a task that the plan never gives.',
  'no-effect': 'Something is said that cannot have an effect.',
  'duplicate-instrument': 'Two instruments of the same name.',
  'unknown-instrument':
    'An instrument is named that the vessel does not have, or that does not measure this.',
  'no-instrument': 'A vessel without an instrument that measures the beer.',
  'no-heat-path': 'An appliance whose heat can go nowhere.',
  'final-above-original': 'A final gravity above the original one.',
  'too-many-findings': 'There are more findings than are worth listing; only the first ones are given.',
} as const satisfies Readonly<Record<string, string>>

export type ReaderCode = keyof typeof READER_CODES
