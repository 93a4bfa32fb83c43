FROM python:3.11-slim
ENV PYTHONUNBUFFERED=1
WORKDIR /srv/benchring
COPY pyproject.toml constraints.txt ./
RUN python -c "import tomllib; print('\n'.join(tomllib.load(open('pyproject.toml', 'rb'))['project']['dependencies']))" > names.txt \
    && pip install --no-cache-dir -c constraints.txt -r names.txt
COPY . .
# Compiled once: whoever runs it may not write here, and would compile at every start.
RUN python -m compileall -q .
# Static files are collected once, with a key that is thrown away.
RUN SECRET_KEY=only-while-building python manage.py collectstatic --no-input \
    && useradd --system benchring && chown -R benchring var
USER benchring
EXPOSE 8000
CMD ["bin/web"]
