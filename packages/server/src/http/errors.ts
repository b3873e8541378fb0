import type { Finding } from '@attemper/core/finding.ts'
import type { AlarmErrorCode } from '../alarms/alarm-error.ts'
import type { CellarErrorCode } from '../live/cellar.ts'

/** What each code means, its HTTP status, and what would be right where the message does not say it by itself. */
interface ErrorKind {
  readonly status: number
  readonly means: string
  readonly cure?: string
}

/** Codes are stable: a program may rely on them, whatever the wording of the message. */
export const ERRORS = {
  'wrong-request': { status: 400, means: 'The request is not proper HTTP.' },
  'wrong-utf8': {
    status: 400,
    means: 'The body is not UTF-8.',
    cure: 'Send the text encoded as UTF-8.',
  },
  'wrong-json': {
    status: 400,
    means: 'The body is not JSON.',
    cure: 'Send one JSON value (RFC 8259). NaN and Infinity are no JSON numbers.',
  },
  'too-deep': {
    status: 400,
    means: 'Arrays and objects are nested too deeply.',
    cure: 'Nest at most 32 levels.',
  },
  'sign-in': {
    status: 401,
    means: 'Nobody is signed in.',
    cure: 'Sign in with POST /session, or send a token: “Authorization: Bearer ...”.',
  },
  'wrong-password': {
    status: 401,
    means: 'Name and password do not fit.',
    cure: 'Try again; after a few attempts there is a pause.',
  },
  'wrong-token': {
    status: 401,
    means: 'The token is not known here.',
    cure: 'Make a new one with POST /tokens, and remove the old one from the device.',
  },
  'foreign-host': {
    status: 403,
    means: 'The request was addressed to another host: a web page may be behind it.',
    cure: 'Use the address under which the cellar was started, such as http://localhost with its port.',
  },
  'foreign-origin': {
    status: 403,
    means: 'The request came from a page of another site.',
    cure: 'Open the cellar’s own pages, or use the command line.',
  },
  'not-from-here': {
    status: 403,
    means: 'A change must prove that it comes from the cellar’s own pages or from a program.',
    cure: 'Programs add the header “X-Attemper: 1”; devices send their token.',
  },
  'not-allowed': {
    status: 403,
    means: 'Whoever asks may not do this.',
    cure: 'Ask somebody with the role of a brewer, or use the token of the right door.',
  },
  'unknown-address': { status: 404, means: 'There is nothing at this address.', cure: 'See /openapi.json.' },
  'unknown-vessel': { status: 404, means: 'No vessel has this name.' },
  'unknown-batch': { status: 404, means: 'No batch has this number.' },
  'unknown-stage': { status: 404, means: 'The plan has no such stage.' },
  'unknown-question': { status: 404, means: 'No such question is open.' },
  'unknown-alarm': {
    status: 404,
    means: 'No such alarm is raised now.',
    cure: 'GET /alarms lists those there are.',
  },
  'unknown-channel': { status: 404, means: 'No channel has this name.' },
  'unknown-device': { status: 404, means: 'No device that is told by web push has this number.' },
  'unknown-person': { status: 404, means: 'Nobody has this name.' },
  'unknown-token': { status: 404, means: 'No token has this name.' },
  'vessel-busy': { status: 409, means: 'A batch is in this vessel.' },
  'not-kept': {
    status: 409,
    means: 'The batch could not be taken up, so nobody looks after it.',
  },
  'not-running': { status: 409, means: 'The batch is not in a state in which this can be done.' },
  'alarm-shelved': { status: 409, means: 'The alarm is on the shelf.' },
  'alarm-not-shelved': { status: 409, means: 'The alarm is not on the shelf.' },
  'no-hand-instrument': { status: 409, means: 'The vessel has no instrument that is read by hand for this.' },
  'no-demo': {
    status: 409,
    means: 'A demonstration is only for a cellar on this machine alone that has no vessel yet.',
  },
  'backup-busy': {
    status: 409,
    means: 'A backup is being fetched already.',
    cure: 'Wait until that is done.',
  },
  'name-taken': { status: 409, means: 'The name is already in use.', cure: 'Choose another name.' },
  'last-brewer': { status: 409, means: 'Nobody would be left who may change anything.' },
  'too-large': {
    status: 413,
    means: 'The body is larger than 1 MB.',
    cure: 'Send it in parts of at most 1,048,576 bytes.',
  },
  'address-too-long': { status: 414, means: 'A part of the address is too long.' },
  'wrong-content-type': { status: 415, means: 'The body is of a kind that is not read here.' },
  'wrong-shape': {
    status: 422,
    means: 'The request lacks something, or holds something else than expected.',
  },
  'wrong-value': { status: 422, means: 'A value cannot be used.' },
  'has-errors': { status: 422, means: 'The text has errors; `findings` lists them.' },
  'readings-refused': {
    status: 422,
    means: 'None of the readings was taken; `refused` says why for each.',
    cure: 'Correct what `refused` says and send the readings again.',
  },
  'too-many': { status: 429, means: 'More is coming in than is taken at once.' },
  'too-many-attempts': { status: 429, means: 'Too many wrong passwords.' },
  'header-too-large': { status: 431, means: 'The headers of the request are too large.' },
  internal: {
    status: 500,
    means: 'A fault of the cellar itself.',
    cure: 'Running batches go on. Look into the cellar’s log, and report the fault.',
  },
  storage: { status: 503, means: 'It could not be written to the disk.' },
  'too-many-listeners': {
    status: 503,
    means: 'Too many are listening to the changes.',
    cure: 'Close pages that are not needed.',
  },
} as const satisfies Record<string, ErrorKind> & Record<CellarErrorCode | AlarmErrorCode, ErrorKind>

export type ErrorCode = keyof typeof ERRORS

export interface Problem {
  readonly code: ErrorCode
  readonly message: string
  readonly cure?: string
  readonly findings?: readonly Finding[]
}

export function kindOf(code: ErrorCode): ErrorKind {
  return ERRORS[code]
}

interface Details {
  readonly cure?: string
  readonly findings?: readonly Finding[]
  /** Seconds after which trying again makes sense. */
  readonly retryAfter_s?: number
  /** More that this answer carries beside the common shape. */
  readonly more?: Readonly<Record<string, unknown>>
}

/** A request that is refused. `message` says what is wrong and where; left out: what the code means. */
export class HttpProblem extends Error {
  readonly code: ErrorCode
  readonly statusCode: number
  readonly details: Details

  constructor(code: ErrorCode, message?: string, details: Details = {}) {
    super(message ?? kindOf(code).means)
    this.code = code
    this.statusCode = kindOf(code).status
    this.details = details
  }

  /** The answer's body. */
  toProblem(): Problem {
    const cure = this.details.cure ?? kindOf(this.code).cure
    return {
      code: this.code,
      message: this.message,
      ...(cure === undefined ? {} : { cure }),
      ...(this.details.findings === undefined ? {} : { findings: this.details.findings }),
      ...this.details.more,
    }
  }
}
