"""People, devices and the studio's own row, made through the real actions."""

import factory

from studio import people, signing_in
from studio.models import Device, Person, StudioSettings

PASSWORD = "forty winks and a thimble"


class PersonFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Person

    name = factory.Sequence(lambda number: f"Helper {number}")
    role = Person.Role.PACKER

    @classmethod
    def _create(cls, model_class, **kwargs):
        return people.add_person(**kwargs)


class OwnerFactory(PersonFactory):
    name = "Merle Oakenby"
    role = Person.Role.OWNER


class WorkshopFactory(PersonFactory):
    name = "Rufus Penhallin"
    role = Person.Role.WORKSHOP


class PackerFactory(PersonFactory):
    name = "Posy Oakenby"


class StudioFactory(factory.django.DjangoModelFactory):
    """The one row of the studio; a second call finds the first."""

    class Meta:
        model = StudioSettings
        django_get_or_create = ("id",)

    id = 1
    name = "Marrowick Patch Loft"
    return_address = "Marrowick Patch Loft\nThe Old Forge\nMarrowick\nZY4 7TQ"


class DeviceFactory(factory.django.DjangoModelFactory):
    """A device let in; its key is kept on the object as `key` for its cookie."""

    class Meta:
        model = Device

    name = "bench phone"
    role = Person.Role.WORKSHOP

    @classmethod
    def _create(cls, model_class, **kwargs):
        device, key = signing_in.let_in(**kwargs)
        device.key = key
        return device
