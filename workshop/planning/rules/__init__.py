"""Planning without the database: problems, rules of dispatch, the solver, its checker, calendars, promises.

Times inside a problem are whole minutes since the problem's own zero; ``calendar`` is where minutes meet
clocks.
"""
