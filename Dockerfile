# One image for web, worker and beat; docker-compose.yml says what each runs.
FROM python:3.13-slim-bookworm AS build
COPY requirements.txt .
RUN python -m venv /venv && /venv/bin/pip install --no-cache-dir -r requirements.txt

FROM python:3.13-slim-bookworm
# Pango and the fonts draw the documents.
RUN apt-get update \
    && apt-get install -y --no-install-recommends \
        fonts-dejavu libharfbuzz-subset0 libpango-1.0-0 libpangoft2-1.0-0 \
    && rm -rf /var/lib/apt/lists/* \
    && useradd --system --create-home --uid 10001 workshop \
    && install -d -o workshop /var/lib/workshop /var/cache/workshop
ENV PATH=/venv/bin:$PATH \
    PYTHONUNBUFFERED=1 \
    PYTHONDONTWRITEBYTECODE=1 \
    WORKSHOP_ENV=production \
    WORKSHOP_VAR=/var/lib/workshop \
    WORKSHOP_STATIC=/srv/static \
    NUMBA_CACHE_DIR=/var/cache/workshop \
    NUMBA_CPU_NAME=generic
COPY --from=build /venv /venv
WORKDIR /srv/app
COPY manage.py pyproject.toml ./
COPY drafting drafting
COPY costing costing
COPY workshop workshop
COPY templates templates
RUN pybabel --quiet compile --directory=workshop/locale --domain=django
# Gathering files asks for settings but uses none of these; they stay in this one command.
RUN WORKSHOP_SECRET_KEY=build WORKSHOP_HOSTS=build WORKSHOP_ADDRESS=https://build REDIS_URL=redis://build \
    DATABASE_URL=sqlite:////tmp/build.sqlite3 python manage.py collectstatic --no-input --verbosity 0
USER workshop
# Compiled here for any processor of the kind, so that no worker does it while somebody waits for a lay.
RUN python -m drafting.layplan.separation
EXPOSE 8000
CMD ["gunicorn", "workshop.wsgi:application", "--bind=0.0.0.0:8000", "--workers=3", "--threads=4", "--worker-tmp-dir=/dev/shm", "--access-logfile=-"]
