import type { FastifyRequest } from 'fastify'
import { Type } from 'typebox'
import type { PushDevice } from '../../notify/push/push-devices.ts'
import { personOf } from '../access/guard.ts'
import { HttpProblem } from '../errors.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { DONE, Done, problemsOfChange, problemsOfLook } from '../schemas.ts'
import { Trial } from './notify-schemas.ts'
import { Device, NewDevice, PushKey } from './push-schemas.ts'

const DeviceId = Type.Object({
  id: Type.String({
    minLength: 1,
    maxLength: 40,
    description: 'The device, as GET /push/subscriptions lists it.',
  }),
})

/**
 * Browsers that are told of alarms by web push. Whoever may look may have their own devices told, since they see the same
 * alarms anyway; a brewer looks after those of all. The record of changes is kept with the devices.
 */
export function pushRoutes(app: HttpApp, { notifier }: HttpParts): void {
  app.get(
    '/push/key',
    {
      config: { needs: 'person' },
      schema: {
        summary: 'The key that a browser subscribes to',
        description: 'It stays the same as long as the records of the cellar are kept.',
        tags: ['alarms'],
        response: { 200: PushKey, ...problemsOfLook() },
      },
    },
    async () => ({ key: notifier.pushKey }),
  )

  app.get(
    '/push/subscriptions',
    {
      config: { needs: 'person' },
      schema: {
        summary: 'Devices that are told by web push',
        description: 'A brewer sees all of them, a viewer their own.',
        tags: ['alarms'],
        response: {
          200: Type.Array(Device, { description: 'The one added last comes last.' }),
          ...problemsOfLook(),
        },
      },
    },
    async request => notifier.devices.all.filter(device => isTheirs(request, device)).map(shown),
  )

  app.post(
    '/push/subscriptions',
    {
      config: { needs: 'person' },
      schema: {
        summary: 'Have a device told by web push',
        description:
          'With what the browser’s subscription has. A browser that hands in the same address again keeps its place, ' +
          'with its new name and keys. It is told everything, unless the settings of telling name it or its person.',
        tags: ['alarms'],
        body: NewDevice,
        response: { 201: Device, ...problemsOfChange('wrong-value') },
      },
    },
    async (request, reply) => {
      const { name, endpoint, keys } = request.body
      const added = notifier.devices.add({ who: personOf(request).name, name, endpoint, ...keys })
      if ('fault' in added) throw new HttpProblem('wrong-value', added.fault, { cure: added.cure })
      reply.code(201)
      return shown(added)
    },
  )

  app.delete(
    '/push/subscriptions/:id',
    {
      config: { needs: 'person' },
      schema: {
        summary: 'Have a device told no more',
        description: 'What still waits for it is not sent.',
        tags: ['alarms'],
        params: DeviceId,
        response: { 200: Done, ...problemsOfChange('unknown-device') },
      },
    },
    async request => {
      const { id } = find(request, request.params.id)
      notifier.devices.remove(id, personOf(request).name)
      return DONE
    },
  )

  app.post(
    '/push/subscriptions/:id/try',
    {
      config: { needs: 'person', change: 'tried the device :id that is told by web push' },
      schema: {
        summary: 'Try a device',
        description: 'Sends it a test message at once, and says how it went.',
        tags: ['alarms'],
        params: DeviceId,
        response: { 200: Trial, ...problemsOfChange('unknown-device') },
      },
    },
    async request => notifier.tryDevice(find(request, request.params.id)),
  )

  function find(request: FastifyRequest, id: string): PushDevice {
    const device = notifier.devices.find(id)
    if (device !== null && isTheirs(request, device)) return device
    throw new HttpProblem('unknown-device', undefined, {
      cure: 'GET /push/subscriptions lists those there are.',
    })
  }
}

function isTheirs(request: FastifyRequest, device: PushDevice): boolean {
  const person = personOf(request)
  return person.role === 'brewer' || person.name === device.who
}

function shown({ id, name, who, endpoint, made_ms }: PushDevice) {
  return { id, name, who, service: new URL(endpoint).host, made_ms }
}
