"""Where a calculation runs: where the request is read if that is certain to be short, in a killable process if not.

Faults of multiprocessing that touch us:

- a preload that cannot be imported is passed over in silence -> the start asks each worker who loaded its engine.
  Tests: `api/test_dispatch::test_a_preload_that_failed_stops_the_start`

Faults of pebble that touch us:

- a worker killed while it rests breaks its pool -> each worker has a pool of its own, which is replaced. Tests:
  `api/test_dispatch::test_work_whose_worker_ends_is_done_once_more`,
  `faults/test_workers::test_workers_killed_while_they_rest_are_replaced`
- a cancelled task may take the next one with it -> its pool is replaced. Tests:
  `api/test_dispatch::test_a_client_that_leaves_ends_the_work`
"""
