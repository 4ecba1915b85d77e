"""What may be sent and what is answered: readers, writers and schemas made from declarations.

Faults of msgspec that touch us:

- says only the first error (721) -> our readers collect all. Tests:
  `api/test_problems::test_422_lists_every_fault_of_body_query_and_options`
- errors are text, not data (264) -> our readers collect all; code, pointer and remedy are data. Tests:
  `engine/wire/test_structs::test_every_fault_is_reported_at_once`
- NaN is written as null (826) -> looked for before an answer leaves. Tests:
  `api/test_answers::test_not_a_number_is_never_written`
- the depth of nesting is not limited (1033) -> counted before decoding. Tests:
  `api/test_hostile_bodies::test_hostile_body_is_refused`
- 400.0 is no integer in strict mode -> integral floats are whole numbers. Tests:
  `engine/wire/test_scalars::test_whole`
- times without an offset pass -> an instant has its offset or a stated time zone, or is refused. Tests:
  `engine/weather/test_resolve::test_a_local_time_needs_a_zone`, `test_what_is_no_instant_is_refused`
- enums of one word trouble generators (3152 there) -> `const`. Tests:
  `api/test_openapi::test_enums_have_one_type_and_several_words`
- one struct for both ways closes answers -> requests are closed, answers open, and share no schema. Tests:
  `api/test_openapi::test_requests_are_closed_and_answers_open`
"""

from latewood.wire.components import Components
from latewood.wire.context import MISSING, Context, Registry
from latewood.wire.options import Options
from latewood.wire.structs import StructReader, struct_reader

__all__ = ["MISSING", "Components", "Context", "Options", "Registry", "StructReader", "struct_reader"]
