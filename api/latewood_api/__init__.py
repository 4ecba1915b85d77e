"""HTTP over the engine: routes, problems, the contract, the docs pages and the server.

Faults of uvicorn that touch us:

- no time limit on heads, silence and answers nobody takes (157) -> a proxy in front; bodies have a limit of ours.
  Tests: `faults/test_slow::test_is_cut_off`
- headers of 1 MB and a missing Host pass -> a proxy in front. Tests:
  `faults/test_sizes::test_is_refused_and_answered`
- with workers of its own, requests are lost at each stop (2010) -> one process, and two instances behind a proxy.
  Tests: `faults/test_stop::test_who_was_heard_is_answered`
- ends by the signal it was sent -> its signals are ours to hear. Tests:
  `api/test_server::test_it_stops_in_order_and_answers_what_it_was_asked`
- under uvloop an answer to a client who has left raises -> it is let go. Tests: `faults/test_slow::test_is_cut_off`
- proxy headers trust the leftmost address -> none are read. Tests: none
- idle connections are reset at the stop, in every server -> from the first 503 on every answer says that the
  connection ends; a proxy asks the other instance. Tests: `faults/test_stop::test_who_was_heard_is_answered`
"""
