# Kaplan-Meier estimate and Greenwood's standard error of the 6-MP arm of the leukaemia remissions of Freireich et al., Blood 21 (1963)
# 699-716 (weeks; 0: cut off), data as printed in D. R. Cox and D. Oakes, Analysis of Survival Data, 1984, table 1.1 (from memory).
# Rscript make.R > kaplan-meier-6mp.json
library(survival)
time <- c(6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35)
event <- c(1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0)
s <- summary(survfit(Surv(time, event) ~ 1))
list_of <- function(x) paste(format(x, digits = 15, trim = TRUE), collapse = ", ")
cat(sprintf('{\n  "source": "Freireich et al. 1963, 6-MP arm; R %s, survival %s, summary(survfit(Surv(time, event) ~ 1))",\n',
            getRversion(), packageVersion("survival")))
cat(sprintf('  "time": [%s],\n  "event": [%s],\n', list_of(time), list_of(event)))
cat(sprintf('  "at": [%s],\n  "surv": [%s],\n  "std_err": [%s]\n}\n', list_of(s$time), list_of(s$surv), list_of(s$std.err)))
