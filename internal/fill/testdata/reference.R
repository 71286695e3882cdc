# Writes ranges.csv, charts.csv, parts.csv and chances.csv beside itself with R's base
# functions only: Rscript reference.R (R 4.2.2).
# Ranges: expected range of n normal values and its standard deviation from the law
# of the studentized range with known spread, ptukey(q, n, Inf).
ns <- 2:25
tail_at <- function(q, n) 1 - ptukey(q, n, Inf)
d2 <- sapply(ns, function(n) integrate(tail_at, 0, 20, n = n, rel.tol = 1e-10)$value)
m2 <- sapply(ns, function(n) integrate(function(q) 2 * q * tail_at(q, n), 0, 20, rel.tol = 1e-10)$value)
# c4: the mean of s over sigma, from the law of chi-squared.
c4 <- sapply(ns, function(n) integrate(function(x) sqrt(x / (n - 1)) * dchisq(x, n - 1), 0, Inf, rel.tol = 1e-10)$value)
write.csv(data.frame(n = ns, d2 = d2, d3 = sqrt(m2 - d2^2), c4 = c4), "ranges.csv", row.names = FALSE)

# Charts: 60 checks of 5 jars, 340 g, spread 1.7 g, from check 41 on 1.2 g lower.
set.seed(20261103)
jars <- round(matrix(rnorm(300, 341.3, 1.7), ncol = 5), 2)
jars[41:60, ] <- jars[41:60, ] - 1.2
z <- (rowMeans(jars) - 341.3) / (1.7 / sqrt(5))
lambda <- 0.2
average <- as.numeric(stats::filter(lambda * z, 1 - lambda, method = "recursive"))
line <- 2.962 * sqrt(lambda / (2 - lambda) * (1 - (1 - lambda)^(2 * seq_along(z))))
up <- Reduce(function(s, x) max(0, s + x - 0.5), z, accumulate = TRUE, 0)[-1]
down <- Reduce(function(s, x) max(0, s - x - 0.5), z, accumulate = TRUE, 0)[-1]
# The start by maximum likelihood of a jump: least residual sum of squares.
y <- rowMeans(jars) - 341.3
jump <- which.min(sapply(0:59, function(t) { r <- y; i <- (t + 1):60; r[i] <- r[i] - mean(r[i]); sum(r^2) })) - 1
jumps <- c(jump, rep(NA, 59))
# and of a drift that begins anywhere between the checks: a grid of hundredths.
grid <- seq(0, 59, by = 0.01)
rss <- sapply(grid, function(t) { x <- pmax(0, seq_along(y) - t); b <- sum(x * y) / sum(x^2); sum((y - b * x)^2) })
drifts <- c(grid[which.min(rss)], min(rss) * 5 / 1.7^2, rep(NA, 58))
write.csv(data.frame(x1 = jars[, 1], x2 = jars[, 2], x3 = jars[, 3], x4 = jars[, 4], x5 = jars[, 5],
  mean = rowMeans(jars), sd = apply(jars, 1, sd), z = z, average = average, line = line, up = up, down = down, jump = jumps, drift = drifts),
  "charts.csv", row.names = FALSE)

# Parts of a spread: 4 nozzles of 12 checks of 5 jars, nested analysis of variance.
set.seed(340)
d <- expand.grid(jar = 1:5, check = 1:12, nozzle = 1:4)
d$net <- round(341 + c(0.4, -0.3, 0.1, -0.2)[d$nozzle] + rnorm(48, 0, 0.6)[(d$nozzle - 1) * 12 + d$check] + rnorm(240, 0, 1.7), 2)
d$nozzle_f <- factor(d$nozzle); d$check_f <- factor(d$check)
a <- anova(lm(net ~ nozzle_f / check_f, data = d))
d$ms_nozzle <- a[1, "Mean Sq"]; d$ms_check <- a[2, "Mean Sq"]; d$ms_within <- a[3, "Mean Sq"]
write.csv(d[, c("nozzle", "check", "jar", "net", "ms_nozzle", "ms_check", "ms_within")], "parts.csv", row.names = FALSE)

# Chances of an inspector's sample: hypergeometric, and non-central t for the mean.
batch <- c(300, 300, 1100, 1100, 5000, 9900); short <- c(3, 15, 107, 27, 100, 107)
plan <- list(c(30, 1, 3, 30, 4), c(50, 2, 5, 50, 6), c(80, 3, 7, 80, 8))[c(1, 1, 2, 2, 3, 3)]
items <- mapply(function(N, D, p) {
  first <- phyper(p[2], D, N - D, p[1])
  k <- (p[2] + 1):(p[3] - 1)
  first + sum(dhyper(k, D, N - D, p[1]) * phyper(p[5] - k, D - k, N - p[1] - D + k, p[4]))
}, batch, short, plan)
n <- c(30, 30, 50, 50, 50, 50); k <- c(.503, .503, .379, .379, .379, .379)
mean <- c(339.5, 340.2, 338.64, 339.95, 340.87, 339.6); sd <- c(1.7, 1.7, 4.5, 2.9, 2.6, 1.7)
means <- pt(-k * sqrt(n), n - 1, ncp = (mean - 340) / (sd / sqrt(n)), lower.tail = FALSE)
write.csv(data.frame(batch, short, items, n, mean, sd, means), "chances.csv", row.names = FALSE)
