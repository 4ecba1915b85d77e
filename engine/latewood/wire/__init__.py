"""What may be sent and what is answered: readers, writers and schemas made from declarations."""

from latewood.wire.components import Components
from latewood.wire.context import MISSING, Context, Registry
from latewood.wire.options import Options
from latewood.wire.structs import StructReader, struct_reader

__all__ = ["MISSING", "Components", "Context", "Options", "Registry", "StructReader", "struct_reader"]
