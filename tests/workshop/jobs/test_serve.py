"""The serving process with its background jobs: stopped, killed, started again."""

from __future__ import annotations

import signal
import socket

import pytest

from tests.rig.processes import wait_until
from tests.rig.redis import free_port
from workshop import jobs

pytestmark = [pytest.mark.sqlite, pytest.mark.django_db(transaction=True)]  # the embedded installation


@pytest.fixture
def ask(workshop, note):
    def ask(kind, key="a", **params):
        return jobs.request(kind=kind, key=key, workshop=workshop, params={"note": str(note), **params})

    return ask


def _wait_for(job, state):
    def reached():
        job.refresh_from_db()
        return job.state == state

    wait_until(reached, within_s=60, what=f"the job is {state}; it is {job.state}: {job.message}")


def test_serve_runs_jobs_and_reports_their_progress(ask, serve, tmp_path):
    go_on = tmp_path / "go on"
    serve(free_port())

    job = ask("trial waiting for a file", file=str(go_on))
    _wait_for(job, "running")
    wait_until(lambda: job.refresh_from_db() or job.progress == 50, what="the bar shows 50 %")
    assert job.message == "Waiting for a file"

    go_on.touch()
    _wait_for(job, "done")


def test_killed_serve_goes_on_with_the_job_after_a_restart(ask, serve, note, tmp_path):
    go_on = tmp_path / "go on"
    first = serve(free_port())
    job = ask("trial waiting for a file", file=str(go_on))
    _wait_for(job, "running")

    first.kill()
    job.refresh_from_db()
    assert (job.state, job.attempts) == ("running", 1)  # nobody was left to say otherwise

    second = serve(free_port())
    go_on.touch()
    _wait_for(job, "done")
    assert (job.attempts, job.progress) == (2, 100)
    assert note.read_text() == f"a 2 {second.pid}\n"


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_serve_stops_cleanly_and_puts_its_job_back(ask, serve, number, tmp_path):
    process = serve(free_port())
    job = ask("trial waiting for a file", file=str(tmp_path / "never"))
    _wait_for(job, "running")

    assert process.interrupt(number) == 0

    job.refresh_from_db()
    assert (job.state, job.attempts, job.progress) == ("waiting", 0, 0)
    assert process.output.endswith(
        "Stopping: unfinished jobs are kept and go on at the next start.\nStopped.\n"
    )
    assert "Traceback" not in process.output


def test_serve_stops_although_a_job_does_not_listen(ask, serve, tmp_path):
    process = serve(free_port())
    job = ask("trial waiting for a file", file=str(tmp_path / "never"), deaf=True)
    _wait_for(job, "running")

    assert process.interrupt() == 0

    job.refresh_from_db()
    assert (job.state, job.attempts) == ("waiting", 0)
    assert f"job {job.pk} (trial waiting for a file a) did not stop in time and is put back" in process.output


def test_serve_gives_up_a_job_that_ends_the_process_only_after_a_restart(ask, serve, note):
    process = serve(free_port())

    job = ask("trial death")

    wait_until(lambda: not process.alive, what="the process has ended")
    job.refresh_from_db()
    assert (job.state, job.attempts) == ("running", 1)
    assert len(note.read_text().splitlines()) == 1


def test_serve_says_what_to_do_about_a_busy_port(serve):
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        process = serve(port, wait=False)

        assert process.wait() == 1

    assert process.output == (
        f"CommandError: Port {port} is in use, perhaps by another workshop that is still running. "
        f"Stop it, or choose another port: make demo PORT={port + 1}\n"
    )


@pytest.mark.parametrize("port", ["0", "65536", "-1", "eighty", ""])
def test_serve_refuses_what_is_no_port(serve, port):
    process = serve(port, wait=False)

    assert process.wait() == 1
    assert process.output == f"CommandError: PORT must be a whole number from 1 to 65535; it is {port!r}.\n"
