import { Type } from 'typebox'
import { Moment_ms, Name } from '../schemas.ts'

const Role = Type.Enum(['brewer', 'viewer'], {
  description: '“brewer” may do everything, “viewer” may look.',
})

export const SignIn = Type.Object(
  {
    name: Type.Optional(Name),
    password: Type.String({ maxLength: 1000, description: 'The password, as a text.' }),
  },
  { additionalProperties: false },
)

export const SignedIn = Type.Object({ name: Name, role: Role }, { description: 'Signed in.' })

export const Session = Type.Object(
  { name: Name, role: Type.Enum(['brewer', 'viewer', 'device']), open: Type.Boolean() },
  { description: '`open`: the cellar is bound to this machine alone, and asks for no password.' },
)

export const Person = Type.Object({ name: Name, role: Role, changed_ms: Moment_ms })

export const NewPerson = Type.Object(
  {
    role: Role,
    password: Type.String({ description: 'At least 10 characters.' }),
  },
  { additionalProperties: false },
)

const Door = Type.String({
  minLength: 1,
  maxLength: 250,
  description: '“readings:VESSEL”, “appliance:VESSEL”, or “view” (calendars, collectors of figures).',
})

export const Token = Type.Object({ name: Name, door: Door, made_ms: Moment_ms })

export const NewToken = Type.Object({ name: Name, door: Door }, { additionalProperties: false })

export const MadeToken = Type.Object(
  { name: Name, door: Door, token: Type.String() },
  { description: 'Here it is.' },
)

export const RecordedChange = Type.Object({ at_ms: Moment_ms, who: Type.String(), what: Type.String() })
