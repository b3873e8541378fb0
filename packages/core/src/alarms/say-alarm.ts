import type { AlarmCondition } from './conditions-of.ts'

/** What is so, as the rest of a sentence that may begin with a place: no capital, no full stop. */
export function sayAlarm({ code, subject, detail = '' }: AlarmCondition): string {
  switch (code) {
    case 'limit-broken':
      return subject === 'lowest'
        ? 'the beer is colder than the lowest limit'
        : 'the beer is warmer than the highest limit'
    case 'beer-temperature-unknown':
      return 'the temperature of the beer is unknown'
    case 'no-response':
      return `the ${subject} ran without effect and was stopped`
    case 'instrument-lost':
      return `${subject} is silent or not believed`
    case 'instrument-stuck':
      return `${subject} shows exactly the same temperature all the time`
    case 'instruments-disagree':
      return `two instruments disagree about the ${subject === 'beer' || subject === 'air' ? `${subject} temperature` : subject}`
    case 'question-open':
      return detail === '' ? 'the plan asks a question' : `the plan asks: ${detail}`
    case 'batch-held':
      return 'the plan has held the batch'
    case 'storage-trouble':
      return 'records can not be written, or are damaged'
    case 'appliance-unreachable':
      return `the ${subject} can not be reached`
    case 'appliance-left':
      return `the appliances of ${subject} could not be switched off`
    case 'broker-unreachable':
      return `the MQTT broker can not be used${detail === '' ? '' : ` (${detail})`}`
    case 'batch-not-kept':
      return `nobody looks after this batch${detail === '' ? '' : `: ${detail}`}`
    case 'clock-wrong':
      return "the machine's clock was set, or does not fit the records"
    case 'channel-failed':
      return `messages by ${subject} do not arrive`
  }
}

/** The whole sentence without a place, for a list that tells the place beside it. */
export function alarmSentence(condition: AlarmCondition): string {
  const said = sayAlarm(condition)
  const end = /[.?!]”?$/.test(said) ? '' : '.'
  return `${said.charAt(0).toUpperCase()}${said.slice(1)}${end}`
}
