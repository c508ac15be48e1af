# The production packages alone; what builds or tests stays behind.
FROM node:22-bookworm-slim AS packages
WORKDIR /app
COPY package.json package-lock.json ./
RUN npm ci --omit=dev && npm cache clean --force

FROM node:22-bookworm-slim
ENV NODE_ENV=production \
    DATA_DIR=/data \
    PORT=8080
WORKDIR /app
COPY --from=packages /app/node_modules ./node_modules
COPY package.json tsconfig.json ./
# Care tables, names, vocabulary and migrations lie beside the code that reads them.
COPY bot ./bot
COPY db ./db
RUN mkdir /data && chown node:node /data
USER node
VOLUME /data
EXPOSE 8080
HEALTHCHECK --interval=30s --timeout=5s --start-period=60s --retries=3 \
  CMD ["node", "-e", "fetch(`http://127.0.0.1:${process.env.PORT}/healthz`).then((r) => process.exit(r.ok ? 0 : 1), () => process.exit(1))"]
# Node itself is process 1, so that SIGTERM reaches the bot and it can finish what it is doing.
CMD ["node", "--import", "tsx", "bot/main.ts"]
