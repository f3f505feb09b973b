# syntax=docker/dockerfile:1
FROM python:3.12-slim AS build
WORKDIR /build
COPY requirements.txt .
RUN python -m venv /venv && /venv/bin/pip install --no-cache-dir --disable-pip-version-check --require-hashes -r requirements.txt

FROM python:3.12-slim
# Pango and a font: what the PDF documents are set with.
RUN apt-get update \
    && apt-get install -y --no-install-recommends libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-dejavu-core \
    && rm -rf /var/lib/apt/lists/* \
    && useradd --system --uid 10001 --home-dir /srv/tuckline tuckline
WORKDIR /srv/tuckline
COPY --from=build /venv /venv
COPY app.py ./
COPY configurator configurator
COPY static static
COPY templates templates
RUN mkdir var && chown tuckline:tuckline var
ENV PATH=/venv/bin:$PATH PYTHONUNBUFFERED=1 PYTHONDONTWRITEBYTECODE=1 PORT=8000 TUCKLINE_DATA_DIR=/srv/tuckline/var DATABASE_URL=sqlite:////srv/tuckline/var/tuckline.db
USER tuckline
VOLUME /srv/tuckline/var
EXPOSE 8000
HEALTHCHECK --interval=30s --timeout=5s --start-period=20s CMD ["python", "-c", "import os, urllib.request as u; u.urlopen('http://127.0.0.1:' + os.environ['PORT'] + '/healthz', timeout=4)"]
# The access log names no address and no visitor: private links would stand in it.
# The secret comes from outside (TUCKLINE_SECRET_KEY or TUCKLINE_SECRET_KEY_FILE); without it the server refuses to start.
CMD ["sh", "-c", "flask --app app db upgrade && exec gunicorn app:app --bind 0.0.0.0:$PORT --workers 2 --threads 4 --no-control-socket --access-logfile - --access-logformat '%(t)s %(m)s %(s)s %(B)s %(L)ss'"]
