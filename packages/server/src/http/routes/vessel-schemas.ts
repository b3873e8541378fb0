import { Type } from 'typebox'
import { Findings, Moment_ms, Name } from '../schemas.ts'

export const Vessel = Type.Object(
  {
    name: Name,
    text: Type.String({ description: 'The vessel file.' }),
    doors: Type.String({ description: 'How its instruments are heard and its appliances are switched.' }),
    changed_ms: Moment_ms,
  },
  { description: 'A vessel as the brewer described it.' },
)

export const NewVessel = Type.Object(
  {
    text: Type.String({ minLength: 1, description: 'The text of the vessel file.' }),
    doors: Type.Optional(
      Type.String({
        description: 'How its instruments are heard and its appliances are switched. Left out: no doors.',
      }),
    ),
  },
  { additionalProperties: false },
)

export const TakenVessel = Type.Object({ name: Name, findings: Findings }, { description: 'It is there.' })

export const CheckedVessel = Type.Object(
  {
    name: Type.Union([Type.String(), Type.Null()], { description: 'null: the text can not be read.' }),
    inText: Findings,
    inDoors: Findings,
  },
  { description: 'What the readers say.' },
)
