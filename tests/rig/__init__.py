"""What the tests stand on: PostgreSQL, Redis, Celery workers, a serving process, Chromium."""
