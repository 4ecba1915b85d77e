"""Programs that are wrong: each marked line is refused by a type checker, for the reason beside it, and no other."""

import latewood

lw = latewood.load()

lw.covrage(area="400 ft2", coating="clear-penetrating-oil")  # attr-defined
lw.coverage(aera=3, coating="clear-penetrating-oil")  # call-arg
lw.coverage(area=3, coating="clear-penetrating-oil")  # arg-type
lw.coverage(area="400 ft2")  # call-arg
lw.coverage("400 ft2", coating="clear-penetrating-oil")  # call-arg
lw.coverage(coating="clear-penetrating-oil", units="imperial")  # arg-type
lw.coverage(coating="clear-penetrating-oil", surface="sandy")  # arg-type
lw.coverage(coating="clear-penetrating-oil", coats="two")  # arg-type
lw.coverage(coating="clear-penetrating-oil", area={"value": 3})  # arg-type
lw.coverage(coating="clear-penetrating-oil", product={"rate": "6 m2/L"})  # typeddict-unknown-key

answer = lw.coverage(area="400 ft2", coating="clear-penetrating-oil")
answer["result"]["volumen"]  # typeddict-item
answer["reslt"]  # call-overload
answer["result"]["containers"][0]["number"]  # typeddict-item
answer["result"]["volume"]["value"] + 1  # operator
answer["findings"][0].text  # attr-defined
answer.quantity(3)  # arg-type
answer.quantiti("volume")  # attr-defined
latewood.laod()  # attr-defined
